"""One stick, or a run of sticks cut alike, drawn to scale with everything the saw needs.

A rail shows its length large enough to be read from 1 m, its name and where its
end lies on the stick. Where rails are too short for that, the lengths stand in
one large line above the stick and the rest in a list below it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby

from service.documents.amounts import shop_length, shop_text
from service.documents.cut_marks import RailMark, rail_marks
from service.documents.papers.faces import Face, fitted_size, text_width, wrapped
from service.documents.papers.paging import Block
from service.documents.papers.pen import SCRAP_GREY, Align, Pen
from service.documents.plain_text import one_line
from service.documents.plan_index import PlanIndex
from solver.lengths import Ticks, Unit
from solver.plan import CutStick

READ_FROM_A_METRE = 24.0
"""Points; about 6 mm capital height in this face."""
_LEAST_LARGE = 20.0
_LEFT = 84.0
"""Room left of the stick for its number, its count and its box to tick."""
_INFO, _BAR, _SMALL = 13.0, 40.0, 8.0
_THIN_BAR, _MARKS = 18.0, 14.0
_ENDS = 11.0
_GAP = 7.0
_NO_BREAK = "\u00a0"
_AIR = 14.0
"""Room kept free beside a large number, so that two neighbours are not read as one."""


@dataclass(frozen=True, kw_only=True, slots=True)
class StickScale:
    """What all sticks of one group share on paper."""

    width: float
    longest: Ticks
    kerf: Ticks
    unit: Unit

    def points(self, length: int) -> float:
        """Return a length on paper."""
        return (self.width - _LEFT) * length / self.longest


def stick_blocks(run: tuple[CutStick, ...], index: PlanIndex, scale: StickScale, head: Block) -> Iterator[Block]:
    """Yield the drawing of a run as a head, and below it one line of names for each stick of the run."""
    stick = run[0]
    trim = index.start_trim(stick.stock)
    marks = tuple(rail_marks(stick, kerf=scale.kerf, start_trim=trim))
    named = [[index.rail_label(rail) for rail in one.rails] for one in run]
    large = all(_fits_large(mark, scale) for mark in marks)
    inside = large and len(run) == 1 and all(_name_fits(m, n, scale) for m, n in zip(marks, named[0], strict=True))
    drawing = _drawing(run, marks, index, scale, large=large, names=named[0] if inside else None)
    heads = (head, drawing)
    if inside:
        yield Block(4, lambda pen, x, top: None, heads)
        return
    for one, names in zip(run, named, strict=True):
        yield from _name_lines(one, names, scale, heads, ticked=len(run) > 1)


def _fits_large(mark: RailMark, scale: StickScale) -> bool:
    room = scale.points(mark.rail.length) - _AIR
    length = shop_text(mark.rail.length, scale.unit)
    return fitted_size(length, Face.BOLD, READ_FROM_A_METRE, room) >= _LEAST_LARGE


def _name_fits(mark: RailMark, name: str, scale: StickScale) -> bool:
    taken = text_width(name, Face.PLAIN, _SMALL) + text_width(shop_text(mark.end, scale.unit), Face.BOLD, 9)
    return taken + 14 <= scale.points(mark.rail.length)


def _drawing(
    run: tuple[CutStick, ...],
    marks: tuple[RailMark, ...],
    index: PlanIndex,
    scale: StickScale,
    *,
    large: bool,
    names: list[str] | None,
) -> Block:
    lines = () if large else _large_lines(_sequence(marks, scale), scale)
    line = len(lines) * (READ_FROM_A_METRE + 4)
    ends = wrapped(_ends(marks, scale), Face.PLAIN, _ENDS, scale.width - _LEFT)
    bar = _BAR if large else _THIN_BAR
    below = 0.0 if large else _MARKS * len(ends)
    stick = run[0]

    def draw(pen: Pen, x: float, top: float) -> None:
        _count(pen, x, top - _GAP, run)
        draw_stick(pen, x, top)

    def again(pen: Pen, x: float, top: float) -> None:
        _continued(pen, x, top - _GAP, run)
        draw_stick(pen, x, top)

    def draw_stick(pen: Pen, x: float, top: float) -> None:
        left, top = x + _LEFT, top - _GAP
        pen.fitted(left, top - 12, _info(stick, index, scale), 9, scale.width - _LEFT - 150)
        pen.text(x + scale.width, top - 12, _ending(stick, scale), 11, face=Face.BOLD, align=Align.RIGHT)
        if not large:
            for at, words in enumerate(lines):
                y = top - _INFO - 22 - at * (READ_FROM_A_METRE + 4)
                pen.fitted(left, y, words, READ_FROM_A_METRE, scale.width - _LEFT, face=Face.BOLD)
        bottom = top - _INFO - line - bar - 3
        _bar(pen, left, bottom, bar, stick, marks, scale)
        if not large:
            _numbers(pen, left, bottom, marks, scale)
            for at, words in enumerate(ends):
                pen.text(left, bottom - 11 - at * _MARKS, words, _ENDS)
            return
        for at, mark in enumerate(marks):
            _rail(pen, left, bottom, mark, scale, names[at] if names else "")

    return Block(_GAP + _INFO + line + bar + below + 3, draw, again=again)


def _count(pen: Pen, x: float, top: float, run: tuple[CutStick, ...]) -> None:
    if len(run) == 1:
        pen.tick_box(x, top - 26, 16)
        pen.fitted(x + 22, top - 24, str(run[0].number), 18, _LEFT - 26, face=Face.BOLD)
        return
    pen.fitted(x, top - 20, f"{len(run)} ×", READ_FROM_A_METRE, _LEFT - 6, face=Face.BOLD)
    pen.fitted(x, top - 34, f"sticks {run[0].number}–{run[-1].number}", 10, _LEFT - 6)


def _continued(pen: Pen, x: float, top: float, run: tuple[CutStick, ...]) -> None:
    """Say at the top of a further page that these are the sticks of the page before, not as many again."""
    sticks = f"stick {run[0].number}" if len(run) == 1 else f"sticks {run[0].number}–{run[-1].number}"
    pen.fitted(x, top - 18, sticks, 12, _LEFT - 6, face=Face.BOLD)
    pen.fitted(x, top - 31, "continued", 10, _LEFT - 6)


def _info(stick: CutStick, index: PlanIndex, scale: StickScale) -> str:
    source = "" if stick.bought else ", from the rack"
    kit = "kit " if stick.from_kit else ""
    trim = index.start_trim(stick.stock)
    first = f"cut {shop_length(trim, scale.unit)} off the first end" if trim else "start at the clean end"
    length = shop_length(stick.length, scale.unit)
    long = "" if length in stick.stock else f", {length} long"
    return f"{kit}{one_line(stick.stock)}{long}{source}  ·  {first}"


def _ending(stick: CutStick, scale: StickScale) -> str:
    if not stick.offcut:
        return "nothing left"
    return f"{'keep' if stick.kept else 'scrap'} {shop_length(stick.offcut, scale.unit)}"


def _large_lines(words: str, scale: StickScale) -> tuple[str, ...]:
    """Return the lengths on one line if it can be read from a metre, else on as many as that takes."""
    room = scale.width - _LEFT
    if fitted_size(words, Face.BOLD, READ_FROM_A_METRE, room) >= _LEAST_LARGE:
        return (words,)
    return wrapped(words, Face.BOLD, READ_FROM_A_METRE, room)


def _sequence(marks: tuple[RailMark, ...], scale: StickScale) -> str:
    """Return the lengths in saw order, equal neighbours counted: ``2 × 45 3/4, 31 5/8``."""
    words = []
    for length, alike in groupby(marks, key=lambda mark: mark.rail.length):
        count = sum(1 for _ in alike)
        text = shop_text(length, scale.unit)
        text = text.replace(" ", _NO_BREAK)
        words.append(f"{count}{_NO_BREAK}×{_NO_BREAK}{text}" if count > 1 else text)
    return ",  ".join(words)


def _numbers(pen: Pen, left: float, bottom: float, marks: tuple[RailMark, ...], scale: StickScale) -> None:
    """Write into each rail of a thin stick its number in the list below."""
    for number, mark in enumerate(marks, start=1):
        middle = left + scale.points(mark.start) + scale.points(mark.rail.length) / 2
        size = fitted_size(str(number), Face.PLAIN, 9, scale.points(mark.rail.length) - 2)
        pen.text(middle, bottom + _THIN_BAR / 2 - size / 3, str(number), size, align=Align.CENTRE)


def _ends(marks: tuple[RailMark, ...], scale: StickScale) -> str:
    """Return where the rails end along the stick."""
    marked = (shop_text(mark.end, scale.unit).replace(" ", _NO_BREAK) for mark in marks)
    return f"ends at  {',  '.join(marked)}"


def _bar(
    pen: Pen, left: float, bottom: float, height: float, stick: CutStick, marks: tuple[RailMark, ...], scale: StickScale
) -> None:
    pen.box(left, bottom, scale.points(stick.length), height, fill=SCRAP_GREY)
    for mark in marks:
        pen.box(left + scale.points(mark.start), bottom, scale.points(mark.rail.length), height, fill=1.0, line=1.0)
    if stick.offcut:
        start = scale.points(stick.length - stick.offcut)
        room = scale.points(stick.offcut) - 4
        text = shop_text(stick.offcut, scale.unit)
        size = fitted_size(text, Face.PLAIN, 11, room)
        if size >= _SMALL:
            pen.text(left + start + room / 2 + 2, bottom + height / 2 - size / 3, text, size, align=Align.CENTRE)


def _rail(pen: Pen, left: float, bottom: float, mark: RailMark, scale: StickScale, name: str) -> None:
    start, end = left + scale.points(mark.start), left + scale.points(mark.end)
    length = shop_text(mark.rail.length, scale.unit)
    middle = (start + end) / 2
    pen.fitted(middle, bottom + 17, length, READ_FROM_A_METRE, end - start - _AIR, face=Face.BOLD, align=Align.CENTRE)
    pen.text(end - 3, bottom + 4, shop_text(mark.end, scale.unit), 9, face=Face.BOLD, align=Align.RIGHT)
    if name:
        pen.text(start + 3, bottom + 4, name, _SMALL)


def _name_lines(
    stick: CutStick,
    names: list[str],
    scale: StickScale,
    heads: tuple[Block, ...],
    *,
    ticked: bool,
) -> Iterator[Block]:
    """Yield the names of a stick's rails in saw order, as many on a line as it holds."""
    words = [f"{at}) {name}" for at, name in enumerate(names, start=1)]
    lines = [""]
    for word in words:
        longer = f"{lines[-1]}    {word}" if lines[-1] else word
        if lines[-1] and text_width(longer, Face.PLAIN, 9) > scale.width - _LEFT:
            lines.append(word)
        else:
            lines[-1] = longer
    for number, line in enumerate(lines):
        yield _name_line(stick, line, heads, scale, ticked=ticked and number == 0)


def _name_line(stick: CutStick, line: str, heads: tuple[Block, ...], scale: StickScale, *, ticked: bool) -> Block:
    def draw(pen: Pen, x: float, top: float) -> None:
        if ticked:
            pen.tick_box(x + 16, top - 11, 9)
            pen.text(x + 30, top - 10, str(stick.number), 10, face=Face.BOLD)
        pen.fitted(x + _LEFT, top - 10, line, 9, scale.width - _LEFT)

    return Block(13, draw, heads)
