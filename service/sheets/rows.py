"""Rows of a table to values by field, each cell with its verdict."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from service.sheets.asked_sheets import READ_OR_SKIP
from service.sheets.cells import Table, Value, address, cell_text
from service.sheets.columns import Content, Kind
from service.sheets.headings import UNIT_WORDS, Bound, Heading
from service.sheets.ledger import Ledger, Place
from service.sheets.section_titles import SectionTitles
from service.sheets.size_pairs import SizePairCells
from service.sheets.skipping import Skipping
from service.sheets.split_columns import FractionCells
from service.sheets.verdicts import Asked, CellVerdict, Held, ReadCell, Wrong
from solver.lengths import inches
from solver.notation import Comma

INCH = inches(1)

_KEPT_VERDICTS = 50_000
_MOST_FILLED = 2_000_000
"""Rows that all merged names of a sheet together may cover."""
_DITTO = {'"', "''", "〃", "″", "do.", "ditto", "idem", "same"}
_FILLED_DOWN = {"building", "floor", "unit", "room", "order", "phase", "window_type", "colour", "mesh", "profile"}
"""Columns whose merged cells count for every row they cover; sizes are never filled down."""


@dataclass(slots=True)
class Row:
    """One row: its number in the file and what its cells hold, by field.

    A repeated field holds a list. ``whole`` is False where a cell could not be
    used. ``columns`` are the columns the values came from, ``cells`` those of
    each value of a repeated field, ``headed`` those that are headed at all.
    ``raw`` are the cells as they stood.
    """

    number: int
    values: dict[str, Any] = field(default_factory=dict)
    columns: dict[str, int] = field(default_factory=dict)
    cells: dict[str, list[int]] = field(default_factory=dict)
    notes: list[str] = field(default_factory=list)
    whole: bool = True
    headed: Mapping[str, int] = field(default_factory=dict)
    raw: list[Value] = field(default_factory=list)

    def add(self, name: str, value: Any, index: int) -> None:
        """Take one more value of a repeated field."""
        self.values.setdefault(name, []).append(value)
        self.cells.setdefault(name, []).append(index)
        self.columns.setdefault(name, index)

    def refuse(self, name: str, index: int) -> None:
        """Take note of a cell that could not be used."""
        self.whole = False
        for each in ("widths", "heights") if name == "size" else (name,):
            self.columns.setdefault(each, index)

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
            if value is not None and not (isinstance(value, str) and value in _DITTO):
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


def read_rows(
    table: Table, heading: Heading, ledger: Ledger, *, unit: str, comma: Comma = Comma.UNKNOWN, hidden: bool = False
) -> Iterator[Row]:
    """Yield the rows below the heading that hold an entry; say what is skipped and why.

    Parameters
    ----------
    table, heading
        The sheet, and where its columns stand.
    ledger
        Takes every finding.
    unit
        Unit of bare numbers where neither cell nor heading names one.
    comma
        What a lone comma means in this file.
    hidden
        Whether hidden rows are read too.
    """
    sheet = table.name
    readers = [_Reader(bound, unit, comma) for bound in heading.columns]
    unit_column = next((bound.index for bound in heading.columns if bound.column.field == "unit_of_measure"), None)
    skipping = Skipping(table, heading)
    titles = SectionTitles(table, heading)
    columns = [bound.index for bound in heading.columns]
    widest = _headed_width(table, heading)
    headed: dict[str, int] = {}
    for bound in heading.columns:
        headed.setdefault(bound.column.field, bound.index)
    _fill_down(table, heading)
    answered = ledger.answered_rows(sheet)
    for number, values in table.rows:
        if number <= heading.row or (number in table.hidden_rows and not hidden):
            continue
        skipped = skipping.why(number, values)
        lone = lone_text(values)
        if lone and (skipped is None or skipped.startswith("skipped: only")) and (title := titles.take(lone)):
            ledger.notice(Place(sheet, number), f"a title: {title}, for the rows below that give none of their own")
            continue
        if skipped is not None:
            if skipped:
                ledger.notice(Place(sheet, number), skipped)
            continue
        if table.struck and _struck_out(table, number, columns, ledger):
            continue
        row = Row(number, headed=headed, raw=values)
        if table.text_only and len(values) > widest:
            message = (
                f"this row has {len(values)} cells under {widest} headings; a separator inside a number (27,5) or a "
                "text may have split it; put that cell in quotation marks, or take out what is too much"
            )
            ledger.error(Place(sheet, number), message)
            row.whole = False
        row_unit = ""
        if unit_column is not None and unit_column < len(values) and values[unit_column] is not None:
            held = ledger.settle(Place(sheet, number, unit_column), values[unit_column], read_unit)
            row.whole = row.whole and held is not None
            row_unit = str(held.value) if held is not None else ""
        if row_unit or number in answered:
            row = _row_with_care(row, values, readers, ledger, table, row_unit)
        else:
            row = _row(row, values, readers, ledger, table)
        for place, said in titles.said.items():
            row.values.setdefault(place, said)
        yield row


def lone_text(values: list[Value]) -> str:
    """Return the text of a row that holds nothing else, or an empty text."""
    filled = [value for value in values if value is not None]
    return filled[0] if len(filled) == 1 and isinstance(filled[0], str) else ""


def read_unit(value: Value) -> CellVerdict:
    """Read the unit of measure of one row."""
    unit = UNIT_WORDS.get(cell_text(value).strip().lower())
    return Held(unit) if unit else Wrong(f"{cell_text(value)} is no unit of length; write in, mm, cm, m or ft")


def _headed_width(table: Table, heading: Heading) -> int:
    return max((len(values) for number, values in table.rows if number == heading.row), default=0)


def _struck_out(table: Table, number: int, columns: list[int], ledger: Ledger) -> bool:
    """Ask about a row in which something read is struck through; return whether it is left out."""
    index = next((index for index in columns if (number, index) in table.struck), None)
    if index is None:
        return False
    message = (
        f"{address(number, index)} is struck through; write skip if the row no longer counts, or read if it is to be "
        "planned as it stands"
    )
    held = ledger.ask(Place(table.name, number), Asked("struck out", message, "skip"), READ_OR_SKIP)
    return held is None or not held.value


def _row(row: Row, values: list[Value], readers: list[_Reader], ledger: Ledger, table: Table) -> Row:
    filled = len(values)
    for reader in readers:
        index = reader.index
        value = values[index] if index < filled else None
        if value is None:
            continue
        plain = value.__class__ is str or value.__class__ is float
        held = reader.known.get(value) if plain else None
        if held is None:
            place = Place(table.name, row.number, index)
            if plain and value in _DITTO:
                held = _as_above(place, value, reader.read, reader, ledger, table)
                plain = False
            else:
                held = ledger.settle(place, value, reader.read)
            if held is None:
                row.refuse(reader.name, index)
                continue
            if plain and len(reader.known) < _KEPT_VERDICTS:
                reader.known[value] = held
        _take(row, reader, index, held, ledger, table)
    return row


def _row_with_care(
    row: Row, values: list[Value], readers: list[_Reader], ledger: Ledger, table: Table, row_unit: str
) -> Row:
    """Read a row some cell of which was answered, or that has a unit of its own."""
    for reader in readers:
        index = reader.index
        value = values[index] if index < len(values) else None
        place = Place(table.name, row.number, index)
        if value is None and not ledger.answer(place):
            continue
        read = reader.read_in(row_unit) if row_unit else reader.read
        if value.__class__ is str and value in _DITTO:
            held = _as_above(place, value, read, reader, ledger, table)
        else:
            held = ledger.settle(place, value, read)
        if held is None:
            row.refuse(reader.name, index)
        else:
            _take(row, reader, index, held, ledger, table)
    return row


def _as_above(place: Place, value: Value, read: ReadCell, reader: _Reader, ledger: Ledger, table: Table) -> Held | None:
    """Read a ditto mark: in a column of names it means the name above, in any other it is asked about."""
    above = reader.above(table, place.row)
    shown = cell_text(above)
    if above is None:
        return ledger.settle(place, value, lambda mark: Wrong(f"{mark}: nothing stands above; write the value itself"))
    if reader.is_text:
        return ledger.settle(place, above, read, cell_text(value))
    asked = Asked("ditto", f"{cell_text(value)}: write {shown} if the same as above is meant", shown)
    return ledger.settle(place, value, lambda each: asked if each is value else read(each))


def _take(row: Row, reader: _Reader, index: int, held: Held, ledger: Ledger, table: Table) -> None:
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


def _add_fraction(row: Row, reader: _Reader, fraction: Held, whole_place: Place, ledger: Ledger) -> None:
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


def _fill_down(table: Table, heading: Heading) -> None:
    """Give merged names to every row they cover."""
    columns = {bound.index for bound in heading.columns if bound.column.field in _FILLED_DOWN}
    wanted = [m for m in table.merges if m.first_column in columns and m.last_row > max(m.first_row, heading.row)]
    if not wanted:
        return
    by_number = dict(table.rows)
    left = _MOST_FILLED
    for merge in wanted:
        top = by_number.get(merge.first_row, [])
        value = top[merge.first_column] if merge.first_column < len(top) else None
        if value is None or merge.first_row <= heading.row:
            continue
        left -= merge.last_row - merge.first_row
        if left < 0:
            break
        for number in range(merge.first_row + 1, merge.last_row + 1):
            values = by_number.get(number)
            if values is not None:
                values.extend([None] * (merge.first_column + 1 - len(values)))
                values[merge.first_column] = value


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
        if texts and sum(text in UNIT_WORDS for text in texts) * 2 > len(texts):
            columns = tuple(replace(each, column=target) if each is bound else each for each in heading.columns)
            return replace(heading, columns=columns)
    return heading
