"""Frame profiles and the lengths their sticks come in."""

from __future__ import annotations

from collections.abc import Iterator

from solver.catalogue import Corner, Profile, StickStock
from solver.lengths import Ticks, Unit, inches, mm

PRACTICE = "common practice, no source"
MEMORY = "from memory, to be verified"


def profiles(unit: Unit) -> tuple[Profile, ...]:
    """Return the profiles in use: roll-formed inch profiles, or metric extrusions with mitred corners."""
    return _INCH_PROFILES if unit is Unit.INCH else _METRIC_PROFILES


def sticks(unit: Unit, colours: tuple[str, ...]) -> Iterator[StickStock]:
    """Yield a stick of every profile, colour and usual length.

    A nominal 8 ft stick may be 94 or 96 in long; 94 is listed, because what is
    planned on 94 can be cut from either.
    """
    lengths = _INCH_STICKS if unit is Unit.INCH else _METRIC_STICKS
    for profile in profiles(unit):
        for colour in colours:
            for name, length in lengths:
                yield StickStock(
                    name=f"{profile.name} {colour}, {name}",
                    profile=profile.name,
                    colour=colour,
                    length=length,
                    source=MEMORY,
                )


def _roll_formed(name: str, sixteenths: int, review_short: int, review_long: int) -> Profile:
    return Profile(
        name=name,
        thickness=inches(0, sixteenths, 16),
        face=inches(0, 3, 4),
        corner=Corner.SQUARE,
        corner_leg=inches(0, 3, 4),
        review_short=inches(review_short),
        review_long=inches(review_long),
        source=PRACTICE,
    )


def _extruded(name: str, thickness: int, review_short: int, review_long: int) -> Profile:
    return Profile(
        name=name,
        thickness=mm(thickness),
        face=mm(25),
        corner=Corner.MITRED,
        review_short=mm(review_short),
        review_long=mm(review_long),
        source=MEMORY,
    )


_INCH_PROFILES = (
    _roll_formed("1/4", 4, 36, 48),
    _roll_formed("5/16", 5, 48, 60),
    _roll_formed("3/8", 6, 48, 72),
    _roll_formed("7/16", 7, 60, 84),
)
_METRIC_PROFILES = (_extruded("9 mm", 9, 1_200, 1_800), _extruded("11 mm", 11, 1_500, 2_100))
_INCH_STICKS: tuple[tuple[str, Ticks], ...] = (
    ("6 ft", inches(72)),
    ("7 ft", inches(84)),
    ("8 ft nominal, 94 in", inches(94)),
    ("146 in", inches(146)),
)
_METRIC_STICKS: tuple[tuple[str, Ticks], ...] = (("3 m", mm(3_000)), ("6 m", mm(6_000)))
