"""Rows of a table to values by field, each cell with its verdict."""

from __future__ import annotations

from collections.abc import Iterator

from service.sheets.above_heading import say_rows_above
from service.sheets.asked_sheets import READ_OR_SKIP
from service.sheets.cells import Table, Value, address, cell_text
from service.sheets.column_reader import DITTO, ColumnReader, take
from service.sheets.filling_down import fill_merged_down, group_names
from service.sheets.headings import Heading
from service.sheets.ledger import Ledger, Place
from service.sheets.lines_of_text import LinesOfText
from service.sheets.row import Row, lone_text
from service.sheets.section_titles import SectionTitles
from service.sheets.skipping import Skipping
from service.sheets.unit_cells import read_unit
from service.sheets.verdicts import Asked, Held, ReadCell, Wrong
from solver.notation import Comma

_KEPT_VERDICTS = 50_000


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
    readers = [ColumnReader(bound, unit, comma) for bound in heading.columns]
    unit_column = next((bound.index for bound in heading.columns if bound.column.field == "unit_of_measure"), None)
    skipping = Skipping(table, heading)
    titles = SectionTitles(table, heading)
    columns = [bound.index for bound in heading.columns]
    widest = _headed_width(table, heading)
    headed: dict[str, int] = {}
    for bound in heading.columns:
        headed.setdefault(bound.column.field, bound.index)
    fill_merged_down(table, heading)
    say_rows_above(table, heading, ledger)
    lines = LinesOfText(table, heading)
    grouped = group_names(table, heading, ledger)
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
            if lone and skipped.startswith("skipped: only") and lines.may_be_an_opening(number, lone):
                if lines.settled(Place(sheet, number), lone, ledger):
                    continue
                yield lines.unmeasured(number, values, headed)
            elif skipped:
                ledger.notice(Place(sheet, number), skipped)
            continue
        if table.struck and _struck_out(table, number, columns, ledger):
            continue
        if number in grouped:
            values = grouped[number].into(values)
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


def _row(row: Row, values: list[Value], readers: list[ColumnReader], ledger: Ledger, table: Table) -> Row:
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
            if plain and value in DITTO:
                held = _as_above(place, value, reader.read, reader, ledger, table)
                plain = False
            else:
                held = ledger.settle(place, value, reader.read)
            if held is None:
                row.refuse(reader.name, index)
                continue
            if plain and len(reader.known) < _KEPT_VERDICTS:
                reader.known[value] = held
        take(row, reader, index, held, ledger, table)
    return row


def _row_with_care(
    row: Row, values: list[Value], readers: list[ColumnReader], ledger: Ledger, table: Table, row_unit: str
) -> Row:
    """Read a row some cell of which was answered, or that has a unit of its own."""
    for reader in readers:
        index = reader.index
        value = values[index] if index < len(values) else None
        place = Place(table.name, row.number, index)
        if value is None and not ledger.answer(place):
            continue
        read = reader.read_in(row_unit) if row_unit else reader.read
        if value.__class__ is str and value in DITTO:
            held = _as_above(place, value, read, reader, ledger, table)
        else:
            held = ledger.settle(place, value, read)
        if held is None:
            row.refuse(reader.name, index)
        else:
            take(row, reader, index, held, ledger, table)
    return row


def _as_above(
    place: Place, value: Value, read: ReadCell, reader: ColumnReader, ledger: Ledger, table: Table
) -> Held | None:
    """Read a ditto mark: in a column of names it means the name above, in any other it is asked about."""
    above = reader.above(table, place.row)
    shown = cell_text(above)
    if above is None:
        return ledger.settle(place, value, lambda mark: Wrong(f"{mark}: nothing stands above; write the value itself"))
    if reader.is_text:
        return ledger.settle(place, above, read, cell_text(value))
    asked = Asked("ditto", f"{cell_text(value)}: write {shown} if the same as above is meant", shown)
    return ledger.settle(place, value, lambda each: asked if each is value else read(each))
