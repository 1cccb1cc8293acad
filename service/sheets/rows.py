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
from service.sheets.word_cells import plain_words
from solver.notation import Comma

_TOTAL = re.compile(r"(?:grand |sub ?|sub-)?(?:totals?|sums?|summe|gesamt|subtotal)\b.*", re.IGNORECASE)
_EXAMPLE = re.compile(r"examples?\b|e\.g\.|beispiel", re.IGNORECASE)
_SECTION = re.compile(r"\b(?:building|block|floor|level|storey|phase|section|stair|wing|house|elevation)\b", re.I)
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

    def column(self, name: str) -> int:
        """Return the column a field came from, or should have come from; -1 if it has none."""
        return self.columns.get(name, self.headed.get(name, -1))

    def cell(self, name: str) -> str:
        """Return the address of the cell a field came from, or of the row."""
        return address(self.number, self.columns[name]) if name in self.columns else str(self.number)


@dataclass(slots=True)
class _Reader:
    """One column ready to read, with the verdicts it gave before."""

    bound: Bound
    by_unit: dict[str, ReadCell]
    known: dict[str, dict[Value, Held]]


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
    readers = [_Reader(bound, {}, {}) for bound in heading.columns]
    unit_column = next((bound.index for bound in heading.columns if bound.column.field == "unit_of_measure"), None)
    headings = {bound.index: plain_words(bound.heading) for bound in heading.columns}
    headed: dict[str, int] = {}
    for bound in heading.columns:
        headed.setdefault(bound.column.field, bound.index)
    answered = ledger.answered_rows(sheet)
    for number, values in table.rows:
        if number <= heading.row:
            continue
        skipped = _why_skipped(values, headings, kind, table, number)
        if skipped is not None:
            if skipped:
                ledger.notice(Place(sheet, number), skipped)
            continue
        row_unit = ""
        if unit_column is not None and unit_column < len(values) and values[unit_column] is not None:
            row_unit = UNIT_WORDS.get(cell_text(values[unit_column]).strip().lower(), "")
        yield _row(number, values, readers, ledger, sheet, row_unit, unit, comma, number in answered, headed)


def _row(
    number: int,
    values: list[Value],
    readers: list[_Reader],
    ledger: Ledger,
    sheet: str,
    row_unit: str,
    job_unit: str,
    comma: Comma,
    answered: bool,
    headed: Mapping[str, int],
) -> Row:
    row = Row(number, headed=headed)
    for reader in readers:
        bound = reader.bound
        index = bound.index
        value = values[index] if index < len(values) else None
        if value is None and not (answered and ledger.answer(Place(sheet, number, index))):
            continue
        unit = row_unit or bound.unit or job_unit if bound.column.content.is_length else ""
        read = reader.by_unit.get(unit)
        if read is None:
            read = reader.by_unit[unit] = bound.column.reader(unit, comma)
            reader.known[unit] = {}
        known = reader.known[unit]
        # Booleans equal 0 and 1, so only texts and numbers are looked up by value.
        plain = value.__class__ is str or value.__class__ is float
        held = known.get(value) if plain and not answered else None
        if held is None:
            held = ledger.settle(Place(sheet, number, index), value, read)
            if held is None:
                row.whole = False
                row.columns.setdefault(bound.column.field, index)
                continue
            if plain and not answered and len(known) < _KEPT_VERDICTS:
                known[value] = held
        name = bound.column.field
        row.columns.setdefault(name, index)
        if bound.column.repeated:
            row.values.setdefault(name, []).append(held.value)
        else:
            row.values[name] = held.value
        if held.note:
            row.notes.append(f"{bound.heading}: {held.note}")
    return row


def _why_skipped(values: list[Value], headings: dict[int, str], kind: Kind, table: Table, number: int) -> str | None:
    """Return why a row is no entry (an empty text for no word about it), or None if it is one."""
    filled = [(index, value) for index, value in enumerate(values) if value is not None]
    ours = [(index, value) for index, value in filled if index in headings]
    if not ours:
        return "" if not filled else "skipped: nothing stands below the headings that are read"
    first = cell_text(filled[0][1])
    if _EXAMPLE.match(first):
        return "skipped: an example row"
    repeats = sum(isinstance(value, str) and headings[index] == plain_words(value) for index, value in ours)
    if repeats >= 2 and repeats * 2 > len(ours):
        return "skipped: the headings again"
    if _TOTAL.fullmatch(first) or (len(first) < 40 and _TOTAL.match(first) and len(filled) <= 4):
        return f"skipped: a row of totals ({first})"
    if (
        len(filled) == 1
        and isinstance(filled[0][1], str)
        and _stands_alone(filled[0][0], first, headings, table, number)
    ):
        return f"skipped: only a line of text ({first[:60]})"
    return None


def _stands_alone(index: int, text: str, headings: dict[int, str], table: Table, number: int) -> bool:
    """Return whether a lone text is a section title or a remark rather than an entry without its sizes."""
    wide = any(
        merge.first_row <= number <= merge.last_row and merge.first_column == index and merge.last_column > index + 1
        for merge in table.merges[:2000]
    )
    return wide or len(text) > 30 or bool(_SECTION.search(text)) or text.rstrip().endswith(":")


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
