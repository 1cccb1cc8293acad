"""Tables on paper: headings repeat on every page, cells wrap, rows have a box to tick where wanted."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

from service.documents.papers.faces import Face, wrapped
from service.documents.papers.paging import Block
from service.documents.papers.pen import Align, Pen
from service.documents.plain_text import plain


class Fill(Enum):
    """What a column holds."""

    TEXT = "text"
    NUMBER = "number"
    MONEY = "money, or room to write it by hand"
    TICK = "box to tick"
    BLANK = "room to write by hand"


@dataclass(frozen=True, kw_only=True, slots=True)
class PaperColumn:
    """A column: its heading, its share of the width, what it holds and how large."""

    heading: str
    share: float
    fill: Fill = Fill.TEXT
    face: Face = Face.PLAIN
    size: float = 9.5


_PAD = 3.0
_HEADING_SIZE = 8.5


class PaperTable:
    """Makes the rows of one table; all rows share one heading block."""

    def __init__(self, columns: Sequence[PaperColumn], width: float, above: tuple[Block, ...] = ()) -> None:
        total = sum(column.share for column in columns)
        self._columns = columns
        self._widths = [width * column.share / total for column in columns]
        self._width = width
        self._heads = (*above, self._heading())

    def row(self, cells: Sequence[str], *, least_height: float = 0.0) -> Block:
        """Return one row; cells of boxes and of room to write are given as empty text."""
        laid = [
            wrapped(plain(cell), column.face, column.size, width - 2 * _PAD) if cell else ()
            for cell, column, width in zip(cells, self._columns, self._widths, strict=True)
        ]
        tallest = max(len(lines) * column.size * 1.2 for lines, column in zip(laid, self._columns, strict=True))
        base = max(column.size for column in self._columns)
        height = max(tallest + base * 0.2 + 2 * _PAD, least_height, 16.0)

        def draw(pen: Pen, x: float, top: float) -> None:
            left = x
            for lines, column, width in zip(laid, self._columns, self._widths, strict=True):
                _cell(pen, left, top, width, height, lines, column, base)
                left += width
            pen.line(x, top - height, x + self._width, top - height, 0.4)

        return Block(height, draw, self._heads)

    def _heading(self) -> Block:
        laid = [
            wrapped(column.heading, Face.BOLD, _HEADING_SIZE, width - 2 * _PAD) if column.heading else ()
            for column, width in zip(self._columns, self._widths, strict=True)
        ]
        height = max((len(lines) for lines in laid), default=1) * _HEADING_SIZE * 1.2 + 8

        def draw(pen: Pen, x: float, top: float) -> None:
            left = x
            for lines, column, width in zip(laid, self._columns, self._widths, strict=True):
                _lines(pen, left, top - 2, width, lines, _HEADING_SIZE, Face.BOLD, column.fill)
                left += width
            pen.line(x, top - height + 1, x + self._width, top - height + 1, 1.2)

        return Block(height, draw)


def _cell(
    pen: Pen,
    left: float,
    top: float,
    width: float,
    height: float,
    lines: Sequence[str],
    column: PaperColumn,
    base: float,
) -> None:
    """Draw one cell; ``base`` is the row's largest size, so that first lines share a base line."""
    if column.fill is Fill.TICK:
        pen.tick_box(left + _PAD, top - _PAD + 1 - base, 9)
    elif column.fill in (Fill.BLANK, Fill.MONEY) and not lines:
        pen.line(left + _PAD, top - height + 4, left + width - _PAD, top - height + 4, 0.4)
    else:
        _lines(pen, left, top - _PAD + 1 - base + column.size, width, lines, column.size, column.face, column.fill)


def _lines(
    pen: Pen, left: float, top: float, width: float, lines: Sequence[str], size: float, face: Face, fill: Fill
) -> None:
    right = fill in (Fill.NUMBER, Fill.MONEY)
    x = left + width - _PAD if right else left + _PAD
    for number, line in enumerate(lines):
        y = top - size * (1.0 + 1.2 * number)
        pen.text(x, y, line, size, face=face, align=Align.RIGHT if right else Align.LEFT)
