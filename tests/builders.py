"""Small jobs for tests: each builder shows only what matters and fills in the rest."""

from __future__ import annotations

from typing import Any

from solver.catalogue import (
    Catalogue,
    Corner,
    Hardware,
    Mesh,
    Pack,
    Profile,
    RollStock,
    SplineChoice,
    StickStock,
)
from solver.lengths import Ticks, inches
from solver.limits import Limits
from solver.money import Cents
from solver.openings import Datum, Mounting, Opening
from solver.problem import Problem
from solver.rules import Rules

PROFILE = "5/16"
COLOUR = "white"
MESH = "glass 18x16"


def opening(label: str = "A-101", width: Ticks | None = None, height: Ticks | None = None, **other: Any) -> Opening:
    """One opening of 33 1/4 x 47 3/8 in, channel bottoms, everything named."""
    words: dict[str, Any] = {
        "label": label,
        "widths": (width or inches(33, 1, 4),),
        "heights": (height or inches(47, 3, 8),),
        "profile": PROFILE,
        "colour": COLOUR,
        "mesh": MESH,
        "width_datum": Datum.CHANNEL_BOTTOMS,
        "height_datum": Datum.CHANNEL_BOTTOMS,
        "mounting": Mounting.SPRINGS,
    }
    return Opening(**(words | other))


def profile(**other: Any) -> Profile:
    """A 5/16 x 3/4 in profile with square-cut corners of 3/4 in legs."""
    words: dict[str, Any] = {
        "name": PROFILE,
        "thickness": inches(0, 5, 16),
        "face": inches(0, 3, 4),
        "corner": Corner.SQUARE,
        "corner_leg": inches(0, 3, 4),
    }
    return Profile(**(words | other))


def stick(name: str = "8 ft", length: Ticks | None = None, price: int | None = 800, **other: Any) -> StickStock:
    """A 96 in stick at 8.00."""
    words: dict[str, Any] = {
        "name": name,
        "profile": PROFILE,
        "colour": COLOUR,
        "length": length or inches(96),
        "price": None if price is None else Cents(price),
    }
    return StickStock(**(words | other))


def roll(
    name: str = "48 in x 100 ft", width: Ticks | None = None, price: int | None = 6_000, **other: Any
) -> RollStock:
    """A roll 48 in wide, 100 ft long, at 60.00."""
    words: dict[str, Any] = {
        "name": name,
        "mesh": MESH,
        "width": width or inches(48),
        "length": inches(1_200),
        "price": None if price is None else Cents(price),
    }
    return RollStock(**(words | other))


def pack(hardware: Hardware, size: int, price: int | None = 100, **other: Any) -> Pack:
    """A pack of hardware at 1.00."""
    words: dict[str, Any] = {
        "name": f"{hardware.value} x {size}",
        "hardware": hardware,
        "size": size,
        "price": None if price is None else Cents(price),
    }
    return Pack(**(words | other))


def catalogue(**other: Any) -> Catalogue:
    """One profile, one mesh, one stick length, one roll width, one spline; no packs."""
    words: dict[str, Any] = {
        "profiles": (profile(),),
        "meshes": (Mesh(name=MESH),),
        "sticks": (stick(),),
        "rolls": (roll(),),
        "packs": (),
        "splines": (SplineChoice(spline="0.160"),),
    }
    return Catalogue(**(words | other))


def problem(*openings: Opening, rules: Rules | None = None, **other: Any) -> Problem:
    """A job of one opening, unless openings are given; stock fields go to the catalogue."""
    stock = {name: other.pop(name) for name in Catalogue.__dataclass_fields__ if name in other}
    return Problem(openings=openings or (opening(),), rules=rules or Rules(), catalogue=catalogue(**stock), **other)


def limits(**other: Any) -> Limits:
    """Limits by work alone: the same plan on any machine."""
    return Limits(**({"work": 5_000} | other))
