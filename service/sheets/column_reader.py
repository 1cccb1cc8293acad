"""One column of a table ready to read, and how what it holds goes into a row."""

from __future__ import annotations

from service.sheets.cells import Table, Value
from service.sheets.columns import Content
from service.sheets.headings import Bound
from service.sheets.ledger import Ledger, Place
from service.sheets.row import Row
from service.sheets.size_pairs import SizePairCells
from service.sheets.split_columns import FractionCells
from service.sheets.verdicts import Held, ReadCell
from solver.lengths import inches
from solver.notation import Comma

INCH = inches(1)
DITTO = {'"', "''", "〃", "″", "do.", "ditto", "idem", "same"}
"""Marks that stand for the value above."""


class ColumnReader:
    """One column ready to read, with the verdicts it gave before.

    Texts and numbers are looked up by value; booleans equal 0 and 1, so they are
    read every time.
    """

    def __init__(self, bound: Bound, job_unit: str, comma: Comma) -> None:
        self.index = bound.index
        self.name = bound.column.field
        self.repeated = bound.column.repeated
        self.heading = bound.heading
        self.part_of = bound.part_of
        self.is_text = bound.column.content is Content.TEXT
        self.known: dict[Value, Held] = {}
        self._bound = bound
        self._comma = comma
        self._in_unit: dict[str, ReadCell] = {}
        self._passed = 0
        self._last: Value = None
        self.unit = bound.unit or job_unit
        self.read = self._reads(self.unit)

    def above(self, table: Table, row: int) -> Value:
        """Return the last value above a row that is no ditto mark; rows are asked for from top to bottom."""
        for position in range(self._passed, len(table.rows)):
            number, values = table.rows[position]
            if number >= row:
                break
            self._passed = position + 1
            value = values[self.index] if self.index < len(values) else None
            if value is not None and not (isinstance(value, str) and value in DITTO):
                self._last = value
        return self._last

    def read_in(self, unit: str) -> ReadCell:
        """Return what reads a cell whose row has a unit of its own."""
        if unit not in self._in_unit:
            self._in_unit[unit] = self._reads(unit)
        return self._in_unit[unit]

    def _reads(self, unit: str) -> ReadCell:
        bound = self._bound
        if bound.part_of is not None:
            return FractionCells(bound.denominator, self._comma)
        if bound.column.field == "size":
            return SizePairCells(unit, not bound.height_first, self._comma)
        return bound.column.reader(unit, self._comma)


def take(row: Row, reader: ColumnReader, index: int, held: Held, ledger: Ledger, table: Table) -> None:
    """Put what a cell of a column holds into its row."""
    name = reader.name
    if name == "size":
        for side, length in zip(("widths", "heights"), held.value, strict=True):
            row.add(side, length, index)
    elif reader.part_of is not None:
        _add_fraction(row, reader, held, Place(table.name, row.number, reader.part_of), ledger)
    elif reader.repeated:
        row.add(name, held.value, index)
    else:
        row.values[name] = held.value
        row.columns[name] = index
    if held.note:
        row.notes.append(f"{reader.heading}: {held.note}")


def _add_fraction(row: Row, reader: ColumnReader, fraction: Held, whole_place: Place, ledger: Ledger) -> None:
    """Add a fraction column to the whole inches left of it."""
    name = reader.name
    taken = row.cells.get(name, []) if reader.repeated else [row.columns[name]] if name in row.values else []
    if not taken or taken[-1] != reader.part_of:
        if row.whole:
            ledger.error(whole_place, "the whole inches left of the fraction are missing; write them, or 0")
            row.refuse(name, whole_place.column)
        return
    whole = row.values[name][-1] if reader.repeated else row.values[name]
    if fraction.value and whole % INCH:
        ledger.error(whole_place, "a fraction stands here and in the next column; write it in one of them")
        row.refuse(name, whole_place.column)
        return
    total = whole + fraction.value
    if reader.repeated:
        row.values[name][-1] = total
    else:
        row.values[name] = total
