"""Where each cut falls: running positions along a stick, along a roll and across it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from solver.lengths import Ticks
from solver.plan import Crosscut, CutBlank, CutRail, CutRoll, CutStick, Strip


@dataclass(frozen=True, kw_only=True, slots=True)
class RailMark:
    """A rail on its stick: it reaches from ``start`` to ``end``, measured from the stick's starting end."""

    rail: CutRail
    start: Ticks
    end: Ticks


def rail_marks(stick: CutStick, *, kerf: Ticks, start_trim: Ticks) -> Iterator[RailMark]:
    """Yield where each rail lies on its stick, in saw order.

    Parameters
    ----------
    stick
        The stick and its rails.
    kerf
        What one saw cut takes along the stick.
    start_trim
        What is cut off the starting end first, saw cut included.

    Examples
    --------
    >>> from solver.plan import Place
    >>> rails = [CutRail(opening="A", copy=1, place=place, length=Ticks(100)) for place in (Place.TOP, Place.BOTTOM)]
    >>> stick = CutStick(number=1, stock="s", length=Ticks(300), rails=tuple(rails), offcut=Ticks(70), kept=False)
    >>> [(mark.start, mark.end) for mark in rail_marks(stick, kerf=Ticks(10), start_trim=Ticks(10))]
    [(10, 110), (120, 220)]
    """
    at = start_trim
    for rail in stick.rails:
        end = Ticks(at + rail.length)
        yield RailMark(rail=rail, start=at, end=end)
        at = Ticks(end + kerf)


def crosscut_marks(roll: CutRoll, *, extra: Ticks) -> Iterator[tuple[Crosscut, Ticks, Ticks]]:
    """Yield each crosscut with where it starts and ends along the roll; ``extra`` is lost at every crosscut."""
    at = Ticks(0)
    for crosscut in roll.crosscuts:
        end = Ticks(at + crosscut.length)
        yield crosscut, at, end
        at = Ticks(end + extra)


def strip_marks(crosscut: Crosscut, *, selvage: Ticks) -> Iterator[tuple[Strip, Ticks, Ticks]]:
    """Yield each strip with where it starts and ends across the roll, measured from the selvage edge."""
    at = selvage
    for strip in crosscut.strips:
        end = Ticks(at + strip.width)
        yield strip, at, end
        at = end


def blank_marks(strip: Strip) -> Iterator[tuple[CutBlank, Ticks, Ticks]]:
    """Yield each blank with where it starts and ends along its strip, measured from the crosscut's first edge."""
    at = Ticks(0)
    for blank in strip.blanks:
        end = Ticks(at + blank.along)
        yield blank, at, end
        at = end
