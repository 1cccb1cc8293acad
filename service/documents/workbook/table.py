"""A sheet as a table that prints well: headings repeat, pages are numbered, the width fits the paper."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import Enum

import xlsxwriter
from xlsxwriter.format import Format
from xlsxwriter.worksheet import Worksheet

from service.documents.amounts import unit_length
from service.documents.plain_text import plain
from solver.lengths import Ticks, Unit, mm_number, tape_text
from solver.money import Cents
from solver.problem import Problem

ROWS = 1_048_576
"""Rows a sheet can hold (ECMA-376 spreadsheets)."""
_LETTER, _A4 = 1, 9
_HEADING_GREY, _RULE_GREY = "#E4E7EB", "#8A9099"
_ROW_HEIGHT = 12.75
_TALLEST_ROW = 409
"""Points; a spreadsheet row cannot be taller."""
_UNIT_WORDS = {Unit.INCH: "inches", Unit.MM: "millimetres"}

Value = str | int | Decimal | None


class Look(Enum):
    """How the cells of a column look."""

    TEXT = "text"
    WRAPPED = "wrapped"
    RIGHT = "right"
    NUMBER = "number"
    MONEY = "money"


@dataclass(frozen=True, slots=True)
class Column:
    """A column of a table: its heading, its width in characters and how its cells look."""

    heading: str
    width: float
    look: Look = Look.TEXT


class Book:
    """The workbook being written: its formats and the words at the head of every page."""

    def __init__(self, workbook: xlsxwriter.Workbook, problem: Problem) -> None:
        self.workbook = workbook
        self.unit = problem.unit
        self.money = f"{problem.currency}".strip()
        name = plain(problem.name).replace("&", "&&")[:80]
        kerf = unit_length(problem.rules.kerf, problem.unit)
        self.page_head = f"&L&B{name}&B&C&A&Rlengths in {_UNIT_WORDS[problem.unit]}, saw cut {kerf}"
        self._formats: dict[tuple[Look, bool, bool, bool], Format] = {}
        self.heading = self._format(Look.WRAPPED, bold=True, bg_color=_HEADING_GREY, bottom=1)
        self.title = self._format(Look.TEXT, bold=True, font_size=14)

    def look(self, look: Look, *, ruled: bool = False, strong: bool = False, tall: bool = False) -> Format:
        """Return the format of a cell: ``ruled`` draws a line above it, ``strong`` sets it bold.

        Text stands at the top of a row of several lines (``tall``), else in the middle.
        """
        key = (look, ruled, strong, tall)
        if key not in self._formats:
            valign = "top" if tall else "vcenter"
            self._formats[key] = self._format(
                look, bold=strong, top=1 if ruled else 0, top_color=_RULE_GREY, valign=valign
            )
        return self._formats[key]

    def _format(self, look: Look, **more: object) -> Format:
        shape: dict[str, object] = {"font_name": "Arial", "font_size": 10, "valign": "top", **more}
        if look in (Look.TEXT, Look.WRAPPED):
            shape |= {"align": "left", "indent": 1}
        if look is Look.WRAPPED:
            shape["text_wrap"] = True
        if look in (Look.RIGHT, Look.NUMBER):
            shape["align"] = "right"
        if look is Look.MONEY:
            shape["num_format"] = "#,##0.00"
        return self.workbook.add_format(shape)


class Table:
    """Rows under repeated headings; goes on in another sheet where one is full."""

    def __init__(
        self, book: Book, name: str, columns: Sequence[Column], *, before: Sequence[str] = (), rows: int = ROWS
    ) -> None:
        self._book = book
        self._name = name
        self._columns = columns
        self._before = before
        self._rows = rows
        self._made_looks: dict[tuple[bool, bool, bool], list[Format]] = {}
        self._sheets = 0
        self._start()

    def row(self, values: Sequence[Value], *, ruled: bool = False, strong: bool = False) -> None:
        """Write one row: text stays text, numbers are numbers, None is empty."""
        if self._at == self._rows:
            self._start()
        lines = max(map(_lines, values, self._columns))
        if lines > 1:
            self._sheet.set_row(self._at, min(_ROW_HEIGHT * lines + 3, _TALLEST_ROW))
        for at, (value, shape) in enumerate(zip(values, self._looks(ruled, strong, lines > 1), strict=True)):
            if value is None or value == "":
                if ruled:
                    self._sheet.write_blank(self._at, at, None, shape)
            elif isinstance(value, str):
                self._sheet.write_string(self._at, at, plain(value), shape)
            else:
                self._sheet.write_number(self._at, at, float(value), shape)
        self._at += 1

    def _looks(self, ruled: bool, strong: bool, tall: bool) -> list[Format]:
        made = self._made_looks.get((ruled, strong, tall))
        if made is None:
            made = [self._book.look(column.look, ruled=ruled, strong=strong, tall=tall) for column in self._columns]
            self._made_looks[ruled, strong, tall] = made
        return made

    def _start(self) -> None:
        self._sheets += 1
        name = self._name if self._sheets == 1 else f"{self._name} {self._sheets}"
        self._sheet = self._book.workbook.add_worksheet(name)
        set_up_page(self._book, self._sheet)
        for at, column in enumerate(self._columns):
            self._sheet.set_column(at, at, column.width)
        for at, text in enumerate(self._before):
            self._sheet.write_string(at, 0, plain(text), self._book.look(Look.TEXT))
        top = len(self._before)
        self._sheet.set_row(top, 2 * _ROW_HEIGHT + 3)
        for at, column in enumerate(self._columns):
            self._sheet.write_string(top, at, column.heading, self._book.heading)
        self._sheet.repeat_rows(top)
        self._sheet.freeze_panes(top + 1, 1)
        self._at = top + 1


def _lines(value: Value, column: Column) -> int:
    """Return how many lines a wrapped text takes; viewers do not all find the height of a row by themselves."""
    if column.look is not Look.WRAPPED or not isinstance(value, str):
        return 1
    room = max(4, int(column.width * 1.15) - 1)
    return sum(max(1, -(-len(line) // room)) for line in value.split("\n"))


def set_up_page(book: Book, sheet: Worksheet) -> None:
    """Set a sheet up for print: landscape, one page wide, job, unit and page numbers on every page."""
    sheet.set_default_row(_ROW_HEIGHT + 2.5)
    sheet.set_landscape()
    sheet.set_paper(_LETTER if book.unit is Unit.INCH else _A4)
    sheet.fit_to_pages(1, 0)
    sheet.set_margins(left=0.4, right=0.4, top=0.7, bottom=0.6)
    sheet.set_header(book.page_head)
    sheet.set_footer("&RPage &P of &N")


def length_columns(book: Book, heading: str) -> tuple[Column, Column]:
    """Return the two columns of a length, the shop's own unit first."""
    tape, metric = Column(f"{heading} in", 9, Look.RIGHT), Column(f"{heading} mm", 10, Look.NUMBER)
    return (tape, metric) if book.unit is Unit.INCH else (metric, tape)


def length_values(book: Book, length: Ticks | None) -> tuple[Value, Value]:
    """Return a length for its two columns: tape text, and millimetres as a number."""
    if length is None:
        return ("", None)
    tape, metric = tape_text(length), mm_number(length)
    return (tape, metric) if book.unit is Unit.INCH else (metric, tape)


def money_value(amount: Cents | None) -> Decimal | None:
    """Return money as a number of currency units."""
    return None if amount is None else Decimal(amount) / 100
