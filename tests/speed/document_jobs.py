"""Large plans made without solving, for measuring what is written from them.

Four rails a stick and one blank a crosscut: every piece is cut once and every
length adds up, but nothing about such a plan is cheap to buy.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from itertools import islice

from solver.catalogue import Catalogue, Hardware, Mesh, Profile, RollStock, StickStock
from solver.lengths import Ticks, inches
from solver.limits import Ending
from solver.money import Cents
from solver.openings import Opening
from solver.plan import (
    ByHand,
    Crosscut,
    CutBlank,
    CutRail,
    CutRoll,
    CutStick,
    Need,
    Place,
    Plan,
    Proof,
    PurchaseLine,
    Rail,
    RollGroup,
    Screen,
    StickGroup,
    Strip,
)
from solver.problem import Problem

PROFILE, COLOUR, MESH = "5/16", "white", "glass 18x16"
STICK, ROLL_WIDTH, ROLL_LENGTH = inches(240), inches(72), inches(1_200)
PROOF = Proof(measure="cents", cost=100_000, bound=99_900, ending=Ending.WORK)
BY_HAND = ByHand(words="longest first", cost=104_000)


def large_job(screens: int, seed: int = 1, *, types: bool = False) -> tuple[Problem, Plan]:
    """Return a job of ``screens`` openings, or of a twentieth as many types of twenty screens if ``types``."""
    chance = random.Random(seed)
    quantity = 20 if types else 1
    openings = tuple(_opening(number, chance, quantity) for number in range(1, screens // quantity + 1))
    problem = Problem(
        name="season",
        currency="USD",
        openings=openings,
        catalogue=Catalogue(
            profiles=(Profile(name=PROFILE, thickness=inches(0, 5, 16), face=inches(0, 3, 4)),),
            meshes=(Mesh(name=MESH),),
            sticks=(StickStock(name="20 ft", profile=PROFILE, colour=COLOUR, length=STICK, price=Cents(1800)),),
            rolls=(RollStock(name="72 x 100", mesh=MESH, width=ROLL_WIDTH, length=ROLL_LENGTH, price=Cents(9000)),),
        ),
    )
    sized = tuple(_screen(opening) for opening in openings)
    sticks, rolls = tuple(_sticks(sized)), tuple(_rolls(sized))
    plan = Plan(
        name=problem.name,
        currency="USD",
        screens=sized,
        stick_groups=(
            StickGroup(
                profile=PROFILE,
                colour=COLOUR,
                joint_kerf=inches(0, 1, 8),
                sticks=sticks,
                proof=PROOF,
                by_hand=BY_HAND,
            ),
        ),
        roll_groups=(RollGroup(mesh=MESH, rolls=rolls, leftovers=(), proof=PROOF, by_hand=BY_HAND),),
        purchases=(_purchase("20 ft", "stick", len(sticks)), _purchase("72 x 100", "mesh", len(rolls))),
        total=Cents(200_000),
        bound=Cents(199_800),
        by_hand=Cents(208_000),
        notices=(),
        assumed=(),
    )
    return problem, plan


def _opening(number: int, chance: random.Random, quantity: int) -> Opening:
    return Opening(
        label=f"B{number % 7}-{number:06d}",
        widths=(inches(chance.randrange(20, 36), chance.randrange(16), 16),),
        heights=(inches(chance.randrange(30, 60), chance.randrange(16), 16),),
        quantity=quantity,
        profile=PROFILE,
        colour=COLOUR,
        mesh=MESH,
        order=f"order {number // 25}",
        building=f"B{number % 7}",
        floor=str(number % 11),
        unit=str(number),
    )


def _screen(opening: Opening) -> Screen:
    width, height = (Ticks(readings[0] - inches(0, 1, 8)) for readings in (opening.widths, opening.heights))
    level, upright = Ticks(width - inches(1, 1, 2)), Ticks(height - inches(1, 1, 2))
    return Screen(
        opening=opening.label,
        quantity=opening.quantity,
        profile=PROFILE,
        colour=COLOUR,
        mesh=MESH,
        frame_width=width,
        frame_height=height,
        rails=(
            Rail(place=Place.TOP, length=level),
            Rail(place=Place.BOTTOM, length=level),
            Rail(place=Place.LEFT, length=upright),
            Rail(place=Place.RIGHT, length=upright),
        ),
        blank_width=Ticks(width + inches(2)),
        blank_height=Ticks(height + inches(2)),
        needs=(
            Need(hardware=Hardware.CORNER, amount=4, fits=PROFILE),
            Need(hardware=Hardware.SPRING, amount=2, place="top"),
            Need(hardware=Hardware.TAB, amount=2, place="bottom"),
            Need(hardware=Hardware.SPLINE, amount=2 * (width + height), fits="0.160"),
        ),
        arithmetic=(
            "width: smallest reading - 1/8 clearance",
            "height: smallest reading - 1/8 clearance",
            "level rails: frame width - 2 x 3/4 corners",
            "upright rails: frame height - 2 x 3/4 corners",
        ),
    )


def _sticks(screens: tuple[Screen, ...]) -> Iterator[CutStick]:
    number = 0
    for screen in screens:
        for copy in range(1, screen.quantity + 1):
            number += 1
            cuts = tuple(
                CutRail(opening=screen.opening, copy=copy, place=rail.place, length=rail.length)
                for rail in screen.rails
            )
            spent = sum(rail.length + inches(0, 1, 8) for rail in cuts) + inches(0, 1, 4)
            offcut = Ticks(STICK - spent)
            kept = offcut >= inches(12)
            yield CutStick(number=number, stock="20 ft", length=STICK, rails=cuts, offcut=offcut, kept=kept)


def _rolls(screens: tuple[Screen, ...]) -> Iterator[CutRoll]:
    blanks = iter(
        [
            CutBlank(
                opening=screen.opening, copy=copy, across=screen.blank_width, along=screen.blank_height, turned=False
            )
            for screen in screens
            for copy in range(1, screen.quantity + 1)
        ]
    )
    number = crosscuts = 0
    while batch := tuple(islice(blanks, 18)):
        number += 1
        cuts = []
        for blank in batch:
            crosscuts += 1
            cuts.append(
                Crosscut(number=crosscuts, length=blank.along, strips=(Strip(width=blank.across, blanks=(blank,)),))
            )
        used = Ticks(sum(cut.length for cut in cuts))
        yield CutRoll(
            number=number,
            stock="72 x 100",
            width=ROLL_WIDTH,
            length=ROLL_LENGTH,
            crosscuts=tuple(cuts),
            used=used,
            left=Ticks(ROLL_LENGTH - used),
            kept=False,
        )


def _purchase(stock: str, what: str, count: int) -> PurchaseLine:
    return PurchaseLine(
        stock=stock,
        what=what,
        size=1,
        by_length=False,
        need=count,
        on_hand=0,
        buy=count,
        price=Cents(100),
        cost=Cents(100 * count),
        left=0,
        supplier="Screen Supply",
        why=f"{count} cut",
    )
