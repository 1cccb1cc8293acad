"""Units of measure that stand in cells: a column of them, or a row of them below the headings."""

from __future__ import annotations

from dataclasses import replace

from service.sheets.cells import Table, Value, cell_text
from service.sheets.columns import Content, Kind
from service.sheets.headings import UNIT_WORDS, Heading
from service.sheets.verdicts import CellVerdict, Held, Wrong


def read_unit(value: Value) -> CellVerdict:
    """Read the unit of measure of one row."""
    unit = UNIT_WORDS.get(cell_text(value).strip().lower())
    return Held(unit) if unit else Wrong(f"{cell_text(value)} is no unit of length; write in, mm, cm, m or ft")


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


_LENGTHS = {Content.OPENING_LENGTH, Content.STOCK_LENGTH, Content.SMALL_LENGTH}
_NO_LENGTHS = {"-", "–", "pc", "pcs", "pieces", "ea", "each", "no", "nos", "qty", "stk", "st", "text", "yes/no", "y/n"}
_MOST_BLANK_ABOVE = 2


def with_unit_row(table: Table, heading: Heading) -> Heading:
    """Return the heading with the units that stand in a row of their own right below it, which then belongs to it.

    Every cell of such a row is a unit of measure or a word such as pcs, and one at least is a unit of length below the
    heading of a length.
    """
    values = next((row for number, row in table.rows if number > heading.row), None)
    number = next((number for number, _ in table.rows if number > heading.row), 0)
    if values is None or number > heading.row + _MOST_BLANK_ABOVE:
        return heading
    words = [cell_text(value).strip().strip("()[].").lower() if value is not None else "" for value in values]
    if any(word and word not in UNIT_WORDS and word not in _NO_LENGTHS for word in words):
        return heading
    units = [UNIT_WORDS.get(word, "") for word in words]
    of_lengths = {
        bound.index: units[bound.index]
        for bound in heading.columns
        if bound.index < len(units) and units[bound.index] and bound.column.content in _LENGTHS
    }
    if not of_lengths:
        return heading
    columns = tuple(replace(each, unit=each.unit or of_lengths.get(each.index, "")) for each in heading.columns)
    return replace(heading, row=number, columns=columns)
