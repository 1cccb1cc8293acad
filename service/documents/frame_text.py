"""A screen and its opening in a few words: where it is, what was read, which rails it has."""

from __future__ import annotations

from collections import defaultdict

from service.documents.amounts import shop_text
from solver.lengths import Ticks, Unit, length_text
from solver.openings import Opening
from solver.plan import Screen


def place_of(opening: Opening) -> str:
    """Return where an opening is, from the building down to the room: ``A, floor 3, unit 301, kitchen``.

    A bare number gets its word in front; what has a word already is left as it is.
    """
    named = (("building", opening.building), ("floor", opening.floor), ("unit", opening.unit), ("", opening.room))
    return ", ".join(f"{word} {where}" if word and _bare(word, where) else where for word, where in named if where)


def _bare(word: str, where: str) -> bool:
    return where[:1].isdecimal() and word not in where.casefold()


def readings_text(opening: Opening, unit: Unit) -> str:
    """Return the readings of an opening, widths over heights."""
    return f"{_readings(opening.widths, unit)} wide\n{_readings(opening.heights, unit)} high"


def rails_text(screen: Screen, unit: Unit) -> list[str]:
    """Return the rails of a screen, equal lengths in one line.

    Examples
    --------
    >>> from solver.lengths import inches
    >>> from solver.plan import Place, Rail
    >>> rails = tuple(Rail(place=place, length=inches(20)) for place in (Place.TOP, Place.BOTTOM))
    >>> screen = Screen(opening="A", quantity=1, profile="", colour="", mesh="", frame_width=inches(20),
    ...     frame_height=inches(30), rails=rails, blank_width=inches(22), blank_height=inches(32), needs=(),
    ...     arithmetic=())
    >>> rails_text(screen, Unit.INCH)
    ['2 x 20 top, bottom']
    """
    alike: dict[Ticks, list[str]] = defaultdict(list)
    for rail in screen.rails:
        alike[rail.length].append(rail.place.value)
    return [f"{len(places)} x {length_text(length, unit)} {_once(places)}" for length, places in alike.items()]


def _once(places: list[str]) -> str:
    return ", ".join(dict.fromkeys(places))


def _readings(readings: tuple[Ticks, ...], unit: Unit) -> str:
    return " / ".join(shop_text(reading, unit) for reading in readings)
