"""One crosscut, or a run of crosscuts cut alike: the steps in large numbers beside a drawing to scale."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

from service.documents.amounts import shop_length, shop_text
from service.documents.cut_marks import blank_marks, strip_marks
from service.documents.papers.faces import Face, fitted_size, text_width, wrapped
from service.documents.papers.paging import Block
from service.documents.papers.pen import SCRAP_GREY, Align, Pen
from service.documents.plan_index import PlanIndex
from solver.lengths import Ticks, Unit
from solver.plan import Crosscut, CutBlank, MeshLeftover

LARGE = 22.0
_DRAWING = 215.0
_GAP = 18.0
_NAME = 9.0


@dataclass(frozen=True, kw_only=True, slots=True)
class RollScale:
    """What all crosscuts of one roll share on paper."""

    width: float
    roll_width: Ticks
    longest: Ticks
    selvage: Ticks
    unit: Unit

    @property
    def per_tick(self) -> float:
        """Points to a tick: a crosscut is at most so wide and so high."""
        return min(_DRAWING / self.roll_width, 100.0 / self.longest)


@dataclass(frozen=True, slots=True)
class Step:
    """One line of large numbers: what to do, the numbers, and a remark in small print below."""

    verb: str
    numbers: str
    remark: str = ""


def crosscut_blocks(
    run: tuple[tuple[Crosscut, Ticks], ...], index: PlanIndex, scale: RollScale, head: Block, keep: MeshLeftover | None
) -> Iterator[Block]:
    """Yield the drawing and steps of a run as a head, and below it the names of each crosscut's blanks.

    ``run`` pairs each crosscut with where it ends along the roll; ``keep`` is the side strip worth keeping.
    """
    drawing = _drawing(run, scale, keep)
    for one, end in run:
        names = [
            f"{strip_number}{_letter(at)}) {index.blank_label(blank)}"
            for strip_number, strip in enumerate(one.strips, start=1)
            for at, blank in enumerate(strip.blanks)
        ]
        for number, line in enumerate(_lines(names, scale.width - 110)):
            yield _names(one, end if len(run) > 1 else None, line, scale, (head, drawing), first=number == 0)


def _lines(names: list[str], room: float) -> list[str]:
    """Return names side by side, as many on a line as it holds; a name is never broken."""
    lines = [""]
    for name in names:
        longer = f"{lines[-1]}    {name}" if lines[-1] else name
        if lines[-1] and text_width(longer, Face.PLAIN, _NAME) > room:
            lines.append(name)
        else:
            lines[-1] = longer
    return lines


def steps(crosscut: Crosscut, end: Ticks, scale: RollScale, *, single: bool) -> list[Step]:
    """Return what to do to a crosscut, in order: across the roll, then rip, then trim."""
    cut = shop_length(crosscut.length, scale.unit)
    where = f"the roll is used up to {shop_length(end, scale.unit)}" if single else "one after the other"
    done = [Step("cut", cut, where)]
    widths = [shop_text(strip.width, scale.unit) for strip in crosscut.strips]
    marks = [shop_text(at, scale.unit) for _, _, at in strip_marks(crosscut, selvage=scale.selvage)]
    edge = f"{shop_text(scale.selvage, scale.unit)}, " if scale.selvage else ""
    done.append(Step("rip", ",  ".join(widths), f"from the selvage edge at {edge}{', '.join(marks)}"))
    for number, strip in enumerate(crosscut.strips, start=1):
        if len(strip.blanks) > 1 or strip.blanks[0].along < crosscut.length:
            name = f"trim strip {number}" if len(crosscut.strips) > 1 else "trim"
            done.append(Step(name, _alike_lengths(strip.blanks, scale.unit)))
    return done


def _alike_lengths(blanks: tuple[CutBlank, ...], unit: Unit) -> str:
    words = []
    for along, alike in groupby(blanks, key=lambda blank: blank.along):
        count = sum(1 for _ in alike)
        words.append(f"{count} × {shop_text(along, unit)}" if count > 1 else shop_text(along, unit))
    return ",  ".join(words)


def _letter(at: int) -> str:
    """Return a, b, c ... for the blanks of a strip; numbers go on where letters end."""
    return chr(ord("a") + at) if at < 26 else f"-{at + 1}"


def _drawing(run: tuple[tuple[Crosscut, Ticks], ...], scale: RollScale, keep: MeshLeftover | None) -> Block:
    crosscut, end = run[0]
    todo = steps(crosscut, end, scale, single=len(run) == 1)
    if keep is not None:
        side = f"{shop_text(keep.width, scale.unit)} x {shop_text(keep.length, scale.unit)}"
        todo.append(Step("keep", side, "the side strip: mark it and put it on the rack"))
    room = scale.width - _DRAWING - _GAP
    laid = [_step_lines(step, room) for step in todo]
    text_height = 30.0 + sum(height for _, height in laid)
    drawn = crosscut.length * scale.per_tick
    height = max(text_height, drawn + 34) + 10

    first, last = run[0][0].number, run[-1][0].number

    def draw(pen: Pen, x: float, top: float) -> None:
        left = x + _DRAWING + _GAP
        name = f"crosscut {first}" if len(run) == 1 else f"{len(run)} ×  crosscuts {first}–{last}"
        if len(run) == 1:
            pen.tick_box(left, top - 24, 14)
        pen.text(left + (22 if len(run) == 1 else 0), top - 22, name, 16, face=Face.BOLD)
        draw_cuts(pen, x, top)

    def again(pen: Pen, x: float, top: float) -> None:
        name = f"crosscut {first}, continued" if len(run) == 1 else f"crosscuts {first}–{last}, continued"
        pen.text(x + _DRAWING + _GAP, top - 22, name, 16, face=Face.BOLD)
        draw_cuts(pen, x, top)

    def draw_cuts(pen: Pen, x: float, top: float) -> None:
        _picture(pen, x, top - 26, crosscut, scale)
        left = x + _DRAWING + _GAP
        y = top - 30
        for step, (lines, tall) in zip(todo, laid, strict=True):
            _write_step(pen, left, y, step, lines)
            y -= tall

    return Block(height, draw, again=again)


_VERB = 74.0


def _step_lines(step: Step, room: float) -> tuple[tuple[str, ...], float]:
    lines = wrapped(step.numbers, Face.BOLD, LARGE, room - _VERB)
    return lines, len(lines) * (LARGE + 4) + (13 if step.remark else 2)


def _write_step(pen: Pen, x: float, top: float, step: Step, lines: Sequence[str]) -> None:
    pen.fitted(x, top - LARGE, step.verb, 14, _VERB - 6)
    y = top
    for line in lines:
        pen.text(x + _VERB, y - LARGE, line, LARGE, face=Face.BOLD)
        y -= LARGE + 4
    if step.remark:
        pen.fitted(x + _VERB, y - 8, step.remark, 9, 240)


def _picture(pen: Pen, x: float, top: float, crosscut: Crosscut, scale: RollScale) -> None:
    """Draw a crosscut with its strips side by side; the roll runs up the page."""
    per = scale.per_tick
    height = crosscut.length * per
    pen.box(x, top - height, scale.roll_width * per, height, fill=SCRAP_GREY)
    for number, (strip, start, _) in enumerate(strip_marks(crosscut, selvage=scale.selvage), start=1):
        left, wide = x + start * per, strip.width * per
        _centred(pen, left, top + 4, shop_text(strip.width, scale.unit), 10, wide)
        for at, (blank, low, _) in enumerate(blank_marks(strip)):
            tall = blank.along * per
            bottom = top - low * per - tall
            pen.box(left, bottom, blank.across * per, tall, fill=1.0, line=1.0)
            _blank_words(pen, left, bottom, blank, f"{number}{_letter(at)}", scale)


def _blank_words(pen: Pen, left: float, bottom: float, blank: CutBlank, name: str, scale: RollScale) -> None:
    wide, tall = blank.across * scale.per_tick, blank.along * scale.per_tick
    middle = left + wide / 2
    along = shop_text(blank.along, scale.unit)
    if tall >= 30:
        _centred(pen, left, bottom + tall / 2 + 2, name, 12, wide, face=Face.BOLD)
        words = f"{along} turned" if blank.turned else along
        _centred(pen, left, bottom + tall / 2 - 11, words, 10, wide)
    elif tall >= 9:
        size = min(9.0, fitted_size(name, Face.BOLD, 9, wide - 2))
        pen.text(middle, bottom + tall / 2 - 3, name, size, face=Face.BOLD, align=Align.CENTRE)


def _centred(pen: Pen, left: float, y: float, text: str, size: float, width: float, face: Face = Face.PLAIN) -> None:
    if fitted_size(text, face, size, width - 3) >= 6:
        pen.fitted(left + width / 2, y, text, size, width - 3, face=face, align=Align.CENTRE)


def _names(
    crosscut: Crosscut, end: Ticks | None, line: str, scale: RollScale, heads: tuple[Block, ...], *, first: bool
) -> Block:
    def draw(pen: Pen, x: float, top: float) -> None:
        left = x
        if end is not None:
            if first:
                pen.tick_box(x, top - 11, 9)
                pen.text(x + 14, top - 10, str(crosscut.number), 10, face=Face.BOLD)
            left = x + 46
        pen.text(left, top - 10, line, _NAME)
        if end is not None and first:
            used = f"used to {shop_text(end, scale.unit)}"
            pen.text(x + scale.width, top - 10, used, 8, align=Align.RIGHT)

    return Block(13, draw, heads)
