"""Generated buying decisions: windows, and up to twenty offers of a shop and a supplier who delivers.

Everything is invented. Stick prices grow with the length, with noise; packs and
bundles give a discount; a kit costs about what its contents cost in small packs.
"""

from __future__ import annotations

import random
from dataclasses import dataclass, replace
from typing import Any

from solver.catalogue import (
    Catalogue,
    Corner,
    Hardware,
    Kit,
    KitHardware,
    KitMesh,
    KitSticks,
    Mesh,
    Pack,
    Profile,
    RollStock,
    SplineChoice,
    StickStock,
    Supplier,
)
from solver.lengths import Ticks, inches
from solver.money import Cents
from solver.openings import Datum, Mounting, Opening
from solver.problem import Problem
from solver.rules import Turning

PROFILES = ("5/16", "3/8")
MESH = "glass 18x16"


@dataclass(frozen=True, kw_only=True, slots=True)
class Recipe:
    """What a generated job is like.

    ``sorts`` is how many different window sizes there are; ``colours`` groups of
    rails; ``mesh_kits`` puts a piece of mesh into some kits; ``deliveries`` adds
    a supplier who charges, ``least`` offers with a least number.
    """

    screens: int
    sorts: int
    colours: int = 1
    mesh_kits: bool = False
    deliveries: bool = False
    least: bool = False


def job(recipe: Recipe, seed: int) -> Problem:
    """Return the job of a recipe and a seed."""
    chance = random.Random(f"{recipe} {seed}")
    colours = ("white", "brown", "bronze", "silver")[: recipe.colours]
    return Problem(
        openings=tuple(_openings(recipe, colours, chance)),
        catalogue=_catalogue(recipe, colours, chance),
        name=f"basket {seed}",
        currency="USD",
    )


def without_kits(problem: Problem) -> Problem:
    """Return the job with loose stock alone."""
    return replace(problem, catalogue=replace(problem.catalogue, kits=()))


def loose_only_packs(problem: Problem) -> Problem:
    """Return the job with neither kits nor delivery charges: what each part costs on its own."""
    return replace(problem, catalogue=replace(problem.catalogue, kits=(), suppliers=()))


def _openings(recipe: Recipe, colours: tuple[str, ...], chance: random.Random) -> list[Opening]:
    sizes: set[tuple[int, int]] = set()
    while len(sizes) < recipe.sorts:
        sizes.add((chance.randint(16 * 16, 44 * 16), chance.randint(18 * 16, 58 * 16)))
    sorts = sorted(sizes)
    chance.shuffle(sorts)
    copies = [recipe.screens // recipe.sorts + (n < recipe.screens % recipe.sorts) for n in range(recipe.sorts)]
    return [
        Opening(
            label=f"W{n + 1}",
            widths=(inches(0, width, 16),),
            heights=(inches(0, height, 16),),
            quantity=copies[n],
            width_datum=Datum.CHANNEL_BOTTOMS,
            height_datum=Datum.CHANNEL_BOTTOMS,
            mounting=Mounting.SPRINGS,
            profile=PROFILES[0],
            colour=colours[n % len(colours)],
            mesh=MESH,
        )
        for n, (width, height) in enumerate(sorts)
    ]


def _price(cents: float, chance: random.Random, noise: float = 0.12) -> Cents:
    """A price with noise that ends in 9."""
    exact = max(19, cents * chance.uniform(1 - noise, 1 + noise))
    return Cents(round(exact / 10) * 10 - 1)


def _catalogue(recipe: Recipe, colours: tuple[str, ...], chance: random.Random) -> Catalogue:
    delivers = "Mill Direct" if recipe.deliveries else ""
    sticks = [stick for colour in colours for stick in _sticks(colour, recipe, delivers, chance)]
    rolls = _rolls(recipe, delivers, chance)
    return Catalogue(
        profiles=(
            Profile(
                name=PROFILES[0],
                thickness=inches(0, 5, 16),
                face=inches(0, 3, 4),
                corner=Corner.SQUARE,
                corner_leg=inches(0, 3, 4),
            ),
        ),
        meshes=(Mesh(name=MESH, turning=Turning.FREE if chance.random() < 0.5 else Turning.NEVER),),
        sticks=tuple(sticks),
        rolls=tuple(rolls),
        packs=tuple(_packs(delivers, chance)),
        splines=(SplineChoice(spline="0.160"),),
        kits=tuple(_kits(recipe, colours, chance)),
        suppliers=(Supplier(name=delivers, delivery=_price(1_200, chance, 0.5)),) if delivers else (),
    )


def _sticks(colour: str, recipe: Recipe, delivers: str, chance: random.Random) -> list[StickStock]:
    found = []
    for feet in chance.sample((6, 7, 8, 12), 3 if recipe.colours == 1 else 2):
        words: dict[str, Any] = {"bundle": None, "bundle_price": None}
        price = _price(95 * feet, chance)
        if chance.random() < 0.4:
            words = {"bundle": 10, "bundle_price": Cents(round(10 * price * 0.88))}
        found.append(
            StickStock(
                name=f"{feet} ft {colour}",
                profile=PROFILES[0],
                colour=colour,
                length=inches(12 * feet),
                price=price,
                **words,
            )
        )
    if delivers:
        found.append(
            StickStock(
                name=f"146 in {colour}",
                profile=PROFILES[0],
                colour=colour,
                length=inches(146),
                price=_price(730, chance),
                supplier=delivers,
                minimum=5 if recipe.least else 1,
            )
        )
    if not any(stick.length >= inches(84) for stick in found):
        found.append(
            StickStock(
                name=f"94 in {colour}", profile=PROFILES[0], colour=colour, length=inches(94), price=_price(800, chance)
            )
        )
    return found


def _rolls(recipe: Recipe, delivers: str, chance: random.Random) -> list[RollStock]:
    feet = chance.choice((36, 48, 60))
    found = [
        RollStock(name="36 in x 7 ft", mesh=MESH, width=inches(36), length=inches(84), price=_price(850, chance)),
        RollStock(name="48 in x 25 ft", mesh=MESH, width=inches(48), length=inches(300), price=_price(2_600, chance)),
        RollStock(
            name=f"{feet} in by the foot",
            mesh=MESH,
            width=inches(feet),
            step=inches(12),
            price=_price(3.2 * feet, chance),
            minimum=6 if recipe.least else 1,
        ),
    ]
    if delivers:
        found.append(
            RollStock(
                name="60 in x 100 ft",
                mesh=MESH,
                width=inches(60),
                length=inches(1_200),
                price=_price(7_900, chance),
                supplier=delivers,
            )
        )
    return found


def _packs(delivers: str, chance: random.Random) -> list[Pack]:
    kinds = (
        (Hardware.CORNER, PROFILES[0], (4, 20), 75),
        (Hardware.SPRING, "", (4, 25), 55),
        (Hardware.TAB, "", (4,), 45),
        (Hardware.SPLINE, "0.160", (inches(300), inches(1_200)), 18 / inches(12)),
    )
    found = []
    for hardware, fits, sizes, each in kinds:
        for place, size in enumerate(sizes):
            found.append(
                Pack(
                    name=f"{hardware.value} x {size}",
                    hardware=hardware,
                    fits=fits,
                    size=size,
                    price=_price(each * size * (0.65 if place else 1), chance),
                    supplier=delivers if place else "",
                )
            )
    return found


def _kits(recipe: Recipe, colours: tuple[str, ...], chance: random.Random) -> list[Kit]:
    found = []
    for colour in colours:
        for side in chance.sample((24, 36, 48, 60), 2):
            mesh = None
            price = 4 * side * 8.5 + 500 + 3.2 * side
            if recipe.mesh_kits and chance.random() < 0.7:
                mesh = KitMesh(mesh=MESH, width=inches(side + 2), length=inches(side + 2))
                price += side * side * 0.16
            found.append(
                Kit(
                    name=f"kit {side} {colour}",
                    profile=PROFILES[0],
                    colour=colour,
                    sticks=(KitSticks(length=inches(side), count=4),),
                    hardware=(
                        KitHardware(hardware=Hardware.CORNER, amount=4, fits=PROFILES[0]),
                        KitHardware(hardware=Hardware.SPRING, amount=2),
                        KitHardware(hardware=Hardware.TAB, amount=2),
                        KitHardware(hardware=Hardware.SPLINE, amount=inches(4 * side), fits="0.160"),
                    ),
                    mesh=mesh,
                    price=_price(price * 0.8, chance, 0.2),
                )
            )
    return found


def offers(problem: Problem) -> int:
    """Return how many offers a job chooses from."""
    stock = problem.catalogue
    return len(stock.sticks) + len(stock.rolls) + len(stock.packs) + len(stock.kits)


__all__ = ["Recipe", "Ticks", "job", "loose_only_packs", "offers", "without_kits"]
