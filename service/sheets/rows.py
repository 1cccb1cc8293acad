"""Rows of a table to values by field, each cell with its verdict."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from service.sheets.cells import Table, Value, address, cell_text
from service.sheets.columns import Kind
from service.sheets.headings import UNIT_WORDS, Bound, Heading
from service.sheets.ledger import Ledger, Place
from service.sheets.verdicts import Held, ReadCell
from solver.notation import Comma

_TOTAL = re.compile(r"(?:grand |sub ?|sub-)?(?:totals?|sums?|summe|gesamt|subtotal)\b.*", re.IGNORECASE)
_EXAMPLE = re.compile(r"examples?\b|e\.g\.|beispiel", re.IGNORECASE)
_SECTION = re.compile(r"\b(?:building|block|floor|level|storey|phase|section|stair|wing|house|elevation)\b", re.I)
_TELLTALE = ("example", "e.g.", "beispiel", "total", "grand", "sub", "sum", "gesamt")
_KEPT_VERDICTS = 50_000


@dataclass(slots=True)
class Row:
    """One row: its number in the file and what its cells hold, by field.

    A repeated field holds a list. ``whole`` is False where a cell could not be
    used. ``columns`` are the columns the values came from, ``headed`` those
    that are headed at all.
    """

    number: int
    values: dict[str, Any] = field(default_factory=dict)
    columns: dict[str, int] = field(default_factory=dict)
    notes: list[str] = field(default_factory=list)
    whole: bool = True
    headed: Mapping[str, int] = field(default_factory=dict)

    def refuse(self, name: str, index: int) -> None:
        """Take note of a cell that could not be used."""
        self.whole = False
        self.columns.setdefault(name, index)

    def column(self, name: str) -> int:
        """Return the column a field came from, or should have come from; -1 if it has none."""
        return self.columns.get(name, self.headed.get(name, -1))

    def cell(self, name: str) -> str:
        """Return the address of the cell a field came from, or of the row."""
        return address(self.number, self.columns[name]) if name in self.columns else str(self.number)


class _Reader:
    """One column ready to read, with the verdicts it gave before.

    Texts and numbers are looked up by value; booleans equal 0 and 1, so they are
    read every time.
    """

    def __init__(self, bound: Bound, job_unit: str, comma: Comma) -> None:
        self.index = bound.index
        self.name = bound.column.field
        self.repeated = bound.column.repeated
        self.heading = bound.heading
        self.known: dict[Value, Held] = {}
        self._bound = bound
        self._comma = comma
        self._is_length = bound.column.content.is_length
        self.read = bound.column.reader(bound.unit or job_unit, comma)
        self._in_unit: dict[str, ReadCell] = {}

    def read_in(self, unit: str) -> ReadCell:
        """Return what reads a cell whose row has a unit of its own."""
        if not self._is_length:
            return self.read
        if unit not in self._in_unit:
            self._in_unit[unit] = self._bound.column.reader(unit, self._comma)
        return self._in_unit[unit]


def read_rows(
    table: Table, kind: Kind, heading: Heading, ledger: Ledger, *, unit: str, comma: Comma, source: str = ""
) -> Iterator[Row]:
    """Yield the rows below the heading that hold an entry; say what is skipped and why.

    Parameters
    ----------
    table, kind, heading
        The sheet, what its rows are, and where its columns stand.
    ledger
        Takes every finding.
    unit
        Unit of bare numbers where neither cell nor heading names one.
    comma
        What a lone comma means in this file.
    source
        Name for findings, if it is not the table's own.
    """
    sheet = source or table.name
    readers = [_Reader(bound, unit, comma) for bound in heading.columns]
    unit_column = next((bound.index for bound in heading.columns if bound.column.field == "unit_of_measure"), None)
    skipping = Skipping(table, heading)
    headed: dict[str, int] = {}
    for bound in heading.columns:
        headed.setdefault(bound.column.field, bound.index)
    answered = ledger.answered_rows(sheet)
    for number, values in table.rows:
        if number <= heading.row:
            continue
        skipped = skipping.why(number, values)
        if skipped is not None:
            if skipped:
                ledger.notice(Place(sheet, number), skipped)
            continue
        row_unit = ""
        if unit_column is not None and unit_column < len(values) and values[unit_column] is not None:
            row_unit = UNIT_WORDS.get(cell_text(values[unit_column]).strip().lower(), "")
        if row_unit or number in answered:
            yield _row_with_care(Row(number, headed=headed), values, readers, ledger, sheet, row_unit)
        else:
            yield _row(Row(number, headed=headed), values, readers, ledger, sheet)


def _row(row: Row, values: list[Value], readers: list[_Reader], ledger: Ledger, sheet: str) -> Row:
    filled = len(values)
    for reader in readers:
        index = reader.index
        value = values[index] if index < filled else None
        if value is None:
            continue
        plain = value.__class__ is str or value.__class__ is float
        held = reader.known.get(value) if plain else None
        if held is None:
            held = ledger.settle(Place(sheet, row.number, index), value, reader.read)
            if held is None:
                row.refuse(reader.name, index)
                continue
            if plain and len(reader.known) < _KEPT_VERDICTS:
                reader.known[value] = held
        _take(row, reader, index, held)
    return row


def _row_with_care(
    row: Row, values: list[Value], readers: list[_Reader], ledger: Ledger, sheet: str, row_unit: str
) -> Row:
    """Read a row some cell of which was answered, or that has a unit of its own."""
    for reader in readers:
        index = reader.index
        value = values[index] if index < len(values) else None
        place = Place(sheet, row.number, index)
        if value is None and not ledger.answer(place):
            continue
        held = ledger.settle(place, value, reader.read_in(row_unit) if row_unit else reader.read)
        if held is None:
            row.refuse(reader.name, index)
        else:
            _take(row, reader, index, held)
    return row


def _take(row: Row, reader: _Reader, index: int, held: Held) -> None:
    name = reader.name
    if reader.repeated:
        row.values.setdefault(name, []).append(held.value)
        row.columns.setdefault(name, index)
    else:
        row.values[name] = held.value
        row.columns[name] = index
    if held.note:
        row.notes.append(f"{reader.heading}: {held.note}")


class Skipping:
    """Tells rows that are no entries: blank ones, totals, headings again, titles, examples."""

    def __init__(self, table: Table, heading: Heading) -> None:
        self._headings = {bound.index: bound.heading.casefold() for bound in heading.columns}
        self._first = min(self._headings, default=0)
        self._wide = {
            (row, merge.first_column)
            for merge in table.merges[:5_000]
            if merge.last_column > merge.first_column + 1
            for row in range(merge.first_row, min(merge.last_row, merge.first_row + 50) + 1)
        }

    def why(self, number: int, values: list[Value]) -> str | None:
        """Return why a row is no entry (an empty text for no word about it), or None if it is one."""
        headings = self._headings
        first_index = next((index for index, value in enumerate(values) if value is not None), -1)
        if first_index < 0:
            return ""
        first = values[first_index]
        if not isinstance(first, str):
            return None
        start = first[:12].casefold()
        if start.startswith(_TELLTALE):
            if _EXAMPLE.match(first):
                return "skipped: an example row"
            filled = sum(value is not None for value in values)
            if _TOTAL.fullmatch(first) and (filled <= 6 or len(first) < 20):
                return f"skipped: a row of totals ({cell_text(first)[:60]})"
        if headings.get(first_index) == first.casefold():
            ours = [index for index in headings if index < len(values) and values[index] is not None]
            repeats = sum(headings[index] == cell_text(values[index]).casefold() for index in ours)
            if repeats >= 2 and repeats * 2 > len(ours):
                return "skipped: the headings again"
        if not any(value is not None for value in values[first_index + 1 :]) and self._title(
            number, first_index, first
        ):
            return f"skipped: only a line of text ({cell_text(first)[:60]})"
        return None

    def _title(self, number: int, index: int, text: str) -> bool:
        """Return whether a lone text is a section title or a remark rather than an entry without its sizes."""
        if index not in self._headings or (number, index) in self._wide:
            return True
        return len(text) > 30 or bool(_SECTION.search(text)) or text.rstrip().endswith(":")


def unit_column_instead(table: Table, heading: Heading, kind: Kind) -> Heading:
    """Return the heading with a column headed unit read as a unit of measure, if units stand in it."""
    target = kind.by_heading.get("unit of measure")
    for bound in heading.columns:
        if bound.column.field != "unit" or target is None:
            continue
        texts = [
            cell_text(values[bound.index]).strip().lower()
            for number, values in table.rows[:2000]
            if number > heading.row and bound.index < len(values) and values[bound.index] is not None
        ]
        if texts and all(text in UNIT_WORDS for text in texts):
            columns = tuple(
                Bound(other.index, target, "", other.heading) if other is bound else other for other in heading.columns
            )
            return Heading(heading.row, columns, heading.unknown)
    return heading
