"""A stick drawn to scale: where each stretch of it begins and how wide it is, as shares of the drawing."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from service.documents.amounts import shop_length, shop_text
from service.documents.lookup.records import StickRun
from solver.lengths import Ticks, Unit

_ROOM_FOR_LENGTH = 0.085
_ROOM_FOR_NUMBER = 0.03


class Stretch(Enum):
    """What a stretch of a stick becomes."""

    TRIM = "trim"
    RAIL = "rail"
    KEPT = "kept"
    SCRAP = "scrap"


class Room(Enum):
    """What can be written on a stretch without running over its ends, at full and at phone width."""

    LENGTH = "length"
    NUMBER = "number"
    NONE = "none"


@dataclass(frozen=True, kw_only=True, slots=True)
class Segment:
    """One stretch: ``start`` and ``width`` are percentages of the drawing's width. ``nth`` counts rails from 1."""

    stretch: Stretch
    start: str
    width: str
    middle: str
    text: str
    nth: int
    room: Room


@dataclass(frozen=True, kw_only=True, slots=True)
class StickDrawing:
    """A stick to scale, with the sentence that stands for it where it cannot be seen."""

    title: str
    segments: tuple[Segment, ...]


def stick_drawing(run: StickRun, unit: Unit, longest: Ticks) -> StickDrawing:
    """Return a stick drawn so that a stick of length ``longest`` fills the width.

    Examples
    --------
    >>> from solver.lengths import inches
    >>> run = StickRun(number=1, group=0, first=7, count=2, stock="8 ft", length=inches(96), start_trim=inches(0),
    ...     kerf=inches(0), rails=(inches(48), inches(24)), offcut=inches(24), kept=True, bought=True, from_kit=False)
    >>> drawing = stick_drawing(run, Unit.INCH, inches(96))
    >>> [(segment.stretch.value, segment.start, segment.width) for segment in drawing.segments]
    [('rail', '0.000', '50.000'), ('rail', '50.000', '25.000'), ('kept', '75.000', '25.000')]
    >>> drawing.title
    'Stick 7 to 8, 96 in long, to scale: 48, 24, then 24 in kept'
    """
    segments: list[Segment] = []

    def add(stretch: Stretch, start: Ticks, length: Ticks, nth: int = 0) -> None:
        if length > 0:
            segments.append(_segment(stretch, start, length, longest, nth, shop_text(length, unit)))

    add(Stretch.TRIM, Ticks(0), run.start_trim)
    at = run.start_trim
    for nth, length in enumerate(run.rails, start=1):
        add(Stretch.RAIL, at, length, nth)
        at = Ticks(at + length + run.kerf)
    add(Stretch.KEPT if run.kept else Stretch.SCRAP, Ticks(run.length - run.offcut), run.offcut)
    lengths = ", ".join(shop_text(length, unit) for length in run.rails)
    rest = f"then {shop_length(run.offcut, unit)} {'kept' if run.kept else 'scrap'}" if run.offcut else "nothing left"
    title = f"Stick {run.numbers}, {shop_length(run.length, unit)} long, to scale: {lengths}, {rest}"
    return StickDrawing(title=title, segments=tuple(segments))


def _segment(stretch: Stretch, start: Ticks, length: Ticks, longest: Ticks, nth: int, text: str) -> Segment:
    share = length / longest
    room = Room.LENGTH if share >= _ROOM_FOR_LENGTH else Room.NUMBER if share >= _ROOM_FOR_NUMBER else Room.NONE
    return Segment(
        stretch=stretch,
        start=_percent(start, longest),
        width=_percent(length, longest),
        middle=_percent(2 * start + length, 2 * longest),
        text=text,
        nth=nth,
        room=room,
    )


def _percent(share: int, whole: int) -> str:
    return f"{100 * share / whole:.3f}"
