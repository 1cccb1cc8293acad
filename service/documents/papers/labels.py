"""Labels for every rail and mesh blank, in cutting order, on a grid of labels or on single labels from a roll."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

from service.documents.amounts import shop_text
from service.documents.papers.faces import Face, fitted_size, wrapped
from service.documents.papers.pen import Pen
from service.documents.papers.reading_order import kept_apart
from service.documents.papers.scan_codes import scan_code
from service.documents.papers.setup import POINTS_PER_MM, LabelStock, PaperSetup
from service.documents.pieces import mesh_leftover_code, offcut_code, screen_label
from service.documents.plain_text import one_line
from service.documents.plan_index import PlanIndex
from solver.lengths import Ticks, Unit
from solver.plan import Plan, RollGroup, StickGroup
from solver.problem import Problem

_QUIET = 4
"""Light modules a QR code needs on every side (ISO/IEC 18004)."""
_LARGEST_CODE = 62.0
_LEAST_SHARE = 0.75
"""A line is made smaller down to this share of its size; beyond that it is broken in two."""

Line = tuple[str, float, Face]
"""Text, size against the unit of the label, face."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Label:
    """What one label says: ``size`` in the shop's unit and in the other, ``code`` as its QR code holds it."""

    screen: str
    place: str
    size: tuple[str, str]
    stock: str
    cut_from: str
    order: str
    code: str


def piece_labels(problem: Problem, plan: Plan, setup: PaperSetup) -> Iterator[Label]:
    """Yield the labels in cutting order: every rail and what is kept of its stick, every blank and what is kept."""
    making = _Making(PlanIndex(problem, plan), setup)
    for number, sticks in enumerate(plan.stick_groups, start=1):
        yield from making.stick_labels(number, sticks)
    for number, rolls in enumerate(plan.roll_groups, start=1):
        yield from making.roll_labels(number, rolls)


class _Making:
    """Makes the labels of one plan."""

    def __init__(self, index: PlanIndex, setup: PaperSetup) -> None:
        self._index = index
        self._unit = index.problem.unit
        self._job = one_line(index.problem.name)
        self._prefix = f"{setup.job_code}-" if setup.job_code else ""
        self._revision = f"rev {setup.revision}" if setup.revision else ""

    def stick_labels(self, number: int, group: StickGroup) -> Iterator[Label]:
        """Yield the labels of one profile and colour, stick by stick."""
        stock = one_line(f"{group.profile} {group.colour}")
        for stick in group.sticks:
            for rail in stick.rails:
                yield Label(
                    screen=self._screen(rail.opening, rail.copy),
                    place=rail.place.value,
                    size=size_text((rail.length,), self._unit),
                    stock=stock,
                    cut_from=f"stick {stick.number}",
                    order=self._order(rail.opening),
                    code=self._prefix + self._index.rail_code(rail),
                )
            if stick.kept:
                code = offcut_code(number, stick.number)
                yield self._leftover((stick.offcut,), stock, f"stick {stick.number}", code)

    def roll_labels(self, number: int, group: RollGroup) -> Iterator[Label]:
        """Yield the labels of one mesh, crosscut by crosscut."""
        stock = one_line(group.mesh)
        for roll in group.rolls:
            for crosscut in roll.crosscuts:
                for blank in (blank for strip in crosscut.strips for blank in strip.blanks):
                    yield Label(
                        screen=self._screen(blank.opening, blank.copy),
                        place="mesh, turned" if blank.turned else "mesh",
                        size=size_text((blank.across, blank.along), self._unit),
                        stock=stock,
                        cut_from=f"roll {roll.number}, crosscut {crosscut.number}",
                        order=self._order(blank.opening),
                        code=self._prefix + self._index.blank_code(blank),
                    )
        for piece in group.leftovers:
            code = mesh_leftover_code(number, piece.roll, piece.crosscut)
            yield self._leftover((piece.width, piece.length), stock, f"roll {piece.roll}", code)

    def _screen(self, opening: str, copy: int) -> str:
        return one_line(screen_label(opening, copy, self._index.quantity(opening)))

    def _order(self, label: str) -> str:
        opening = self._index.opening(label)
        return "  ".join(word for word in (one_line(opening.order) if opening else "", self._revision) if word)

    def _leftover(self, sides: tuple[Ticks, ...], stock: str, cut_from: str, code: str) -> Label:
        return Label(
            screen="leftover, keep",
            place=stock,
            size=size_text(sides, self._unit),
            stock=self._job,
            cut_from=cut_from,
            order=self._revision,
            code=self._prefix + code,
        )


def write_labels(problem: Problem, plan: Plan, path: Path, setup: PaperSetup) -> None:
    """Write a label for every piece, and for every leftover worth keeping."""
    write_label_pages(piece_labels(problem, plan, setup), f"{one_line(problem.name)}: labels", path, setup)


def write_label_pages(labels: Iterable[Label], title: str, path: Path, setup: PaperSetup) -> None:
    """Write these labels, page by page."""
    stock = setup.labels
    size = (stock.page_width_mm * POINTS_PER_MM, stock.page_height_mm * POINTS_PER_MM)
    pen = Pen(path, title, size)
    a_page = stock.columns * stock.rows
    for at, label in enumerate(labels):
        if at and at % a_page == 0:
            pen.end_page()
        _write_label(pen, label, *_corner(stock, at % a_page))
    pen.end_page()
    pen.save()


def size_text(sides: tuple[Ticks, ...], unit: Unit) -> tuple[str, str]:
    """Return a piece's size in the shop's unit, and in the other."""
    other = Unit.MM if unit is Unit.INCH else Unit.INCH
    own, foreign = (f"{' x '.join(shop_text(side, each) for side in sides)} {each.value}" for each in (unit, other))
    return own, foreign


def _corner(stock: LabelStock, at: int) -> tuple[float, float, float, float]:
    """Return left, top, width and height of a label on its page, in points."""
    row, column = divmod(at, stock.columns)
    width, height = stock.label_width_mm, stock.label_height_mm
    left = stock.left_mm + column * (width + stock.gap_across_mm)
    top = stock.page_height_mm - stock.top_mm - row * (height + stock.gap_down_mm)
    return left * POINTS_PER_MM, top * POINTS_PER_MM, width * POINTS_PER_MM, height * POINTS_PER_MM


def _write_label(pen: Pen, label: Label, left: float, top: float, width: float, height: float) -> None:
    """Write the code at the left and five lines beside it, as large as the label allows."""
    code = scan_code(label.code)
    modules = code.side
    with_quiet = min(height, width * 0.42, _LARGEST_CODE * (modules + 2 * _QUIET) / modules)
    module = with_quiet / (modules + 2 * _QUIET)
    side = modules * module
    pen.scan_code(code, left + _QUIET * module, top - height / 2 - side / 2, side)
    x = left + with_quiet
    room = width - with_quiet - 3 * POINTS_PER_MM / 2
    unit, lines = _laid(_lines(label), height - 5, room)
    y = top - (height - 1.12 * unit * sum(size for _, size, _ in lines)) / 2
    for text, size, face in lines:
        y -= 1.12 * unit * size
        pen.fitted(x, y + 0.2 * unit, text, round(unit * size, 1), room, face=face)


def _laid(lines: list[Line], height: float, room: float) -> tuple[float, list[Line]]:
    """Return the size of a label's unit and its lines; what would get too small on one line stands on two."""
    unit = min(height / sum(size for _, size, _ in lines) / 1.12, 12.0)
    laid = [part for line in lines for part in _on_two_lines(line, unit, room)]
    if len(laid) == len(lines):
        return unit, lines
    unit = min(height / sum(size for _, size, _ in laid) / 1.12, unit)
    return unit, laid


def _on_two_lines(line: Line, unit: float, room: float) -> list[Line]:
    text, size, face = line
    if fitted_size(text, face, unit * size, room) >= _LEAST_SHARE * unit * size:
        return [line]
    for share in (_LEAST_SHARE, 0.6, 0.5):
        halves = wrapped(text, face, round(unit * size * share, 1), room)
        if len(halves) <= 2:
            return [(half, size * share, face) for half in halves]
    return [(half, size * 0.5, face) for half in wrapped(text, face, round(unit * size * 0.5, 1), room)[:3]]


def _lines(label: Label) -> list[Line]:
    """Return the lines of a label: text, size against the unit of the label, face."""
    own, foreign = label.size
    return [
        (label.screen, 1.1, Face.BOLD),
        (label.place, 1.0, Face.BOLD),
        (own, 1.0, Face.BOLD),
        (foreign, 0.75, Face.PLAIN),
        (f"{label.stock}  {label.cut_from}".strip(), 0.75, Face.PLAIN),
        ("  ".join(word for word in (kept_apart(label.order), label.code) if word), 0.75, Face.PLAIN),
    ]
