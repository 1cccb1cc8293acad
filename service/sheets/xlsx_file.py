"""Open XML workbooks to tables."""

from __future__ import annotations

import datetime
import math
import zipfile
from pathlib import Path

from service.errors import SheetError
from service.sheets.cells import Fault, Missing, Shape, Shown, Table, Value
from service.sheets.formats import PLAIN, Family, Format
from service.sheets.limits import MAX_CELLS, MAX_COLUMNS, MAX_ROWS, MAX_TEXT
from service.sheets.shared_texts import unescaped
from service.sheets.xlsx_book import Book, read_book
from service.sheets.xlsx_cells import RawCell, SheetFrame, raw_rows
from service.sheets.xml_member import DAMAGED, NoSuchMemberError, chunks

_EPOCH = datetime.datetime(1899, 12, 30)
_EPOCH_1904 = datetime.datetime(1904, 1, 1)
_DAY_SECONDS = 86_400


def read_xlsx(path: Path) -> tuple[Table, ...]:
    """Return every sheet of a workbook as a table.

    Raises
    ------
    SheetError
        If the workbook is damaged or far too large.
    """
    try:
        with zipfile.ZipFile(path) as archive:
            book = read_book(archive)
            tables: list[Table] = []
            rows = cells = 0
            for entry in book.sheets:
                table = _table(archive, book, entry.name, entry.member, MAX_ROWS - rows, MAX_CELLS - cells)
                table.hidden = entry.hidden
                rows += len(table.rows)
                cells += sum(len(values) for _, values in table.rows)
                tables.append(table)
            return tuple(tables)
    except (zipfile.BadZipFile, NoSuchMemberError) as error:
        raise SheetError(DAMAGED) from error


def _table(archive: zipfile.ZipFile, book: Book, name: str, member: str, most_rows: int, most_cells: int) -> Table:
    frame = SheetFrame()
    rows: list[tuple[int, list[Value]]] = []
    filled = 0
    cut_off: tuple[str, ...] = ()
    struck: set[tuple[int, int]] = set()
    for number, raw in raw_rows(chunks(archive, member), frame):
        values: list[Value] = []
        for cell in raw:
            column = cell[0]
            if column >= MAX_COLUMNS:
                cut_off = (f"columns beyond the {MAX_COLUMNS}th",)
                continue
            value = _value(cell, book)
            if value is not None:
                if cell[1] in book.struck:
                    struck.add((number, column))
                if column >= len(values):
                    values.extend([None] * (column - len(values) + 1))
                values[column] = value
        if values:
            rows.append((number, values))
            filled += len(values)
            if len(rows) > most_rows or filled > most_cells:
                raise SheetError(f"the workbook has over {MAX_ROWS:,} rows or {MAX_CELLS:,} cells; split the job")
    rows.sort(key=lambda row: row[0])
    return Table(
        name=name,
        rows=rows,
        hidden_rows=frozenset(frame.hidden_rows),
        hidden_columns=frozenset(frame.hidden_columns),
        merges=tuple(frame.merges),
        struck=frozenset(struck),
        cut_off=cut_off,
    )


def _value(cell: RawCell, book: Book) -> Value:
    """Return what a cell holds; a formula without a value is a fault, never a blank."""
    _, style, kind, text, formula = cell
    if text is None:
        # A formula that gives an empty text is stored with its kind; one that was never calculated without.
        return Fault("formula", Missing.FORMULA) if formula and kind != "str" else None
    if kind == "s":
        if not text.isdecimal() or len(text) > 9 or int(text) >= len(book.texts):
            return Fault("a text that is missing in the file")
        whole = book.texts[int(text)]
        return whole if whole.strip() else None
    if kind in {"str", "inlineStr"}:
        whole = unescaped(text[:MAX_TEXT])
        return whole if whole.strip() else None
    if kind == "b":
        return text.strip() == "1"
    if kind == "e":
        return Fault(text[:MAX_TEXT])
    if kind == "d":
        return iso_moment(text)
    number = plain_float(text)
    if number is None:
        return Fault(text[:40])
    return formatted(number, book.formats[style] if style < len(book.formats) else PLAIN, since_1904=book.since_1904)


def plain_float(text: str) -> float | None:
    """Return the number a file writes, or None for what only looks like one to a programming language.

    Examples
    --------
    >>> plain_float("27.625"), plain_float("1E-3"), plain_float("inf"), plain_float("1_000")
    (27.625, 0.001, None, None)
    """
    if "_" in text:
        return None
    try:
        number = float(text)
    except ValueError:
        return None
    return number if math.isfinite(number) else None


def formatted(number: float, how: Format, *, since_1904: bool) -> Value:
    """Return a number as its format shows it: itself, a date, a time, or a number with a shape."""
    if how.family is Family.PLAIN:
        return number
    if how.family is Family.SHOWN:
        return Shown(number, how.shape, how.unit) if how.shape is not Shape.UNIT or how.unit else number
    if how.family is Family.TIME and 0 <= number < 1:
        return (_EPOCH + datetime.timedelta(seconds=round(number * _DAY_SECONDS))).time()
    try:
        moment = (_EPOCH_1904 if since_1904 else _EPOCH) + datetime.timedelta(seconds=round(number * _DAY_SECONDS))
    except (OverflowError, ValueError):
        return Fault(f"{number:.15g}", Missing.DATE)
    if how.family is Family.TIME:
        return datetime.timedelta(seconds=round(number * _DAY_SECONDS))
    if not since_1904 and number < 61:
        # The first two months of 1900 are one day off in these files; no such date can be meant.
        return Fault(f"{number:.15g}", Missing.DATE)
    return moment.date() if moment.time() == datetime.time() else moment


def iso_moment(text: str) -> Value:
    """Return a date or a moment written in the ISO 8601 way.

    Examples
    --------
    >>> iso_moment("2026-03-08")
    datetime.date(2026, 3, 8)
    """
    try:
        moment = datetime.datetime.fromisoformat(text.strip()).replace(tzinfo=None)
    except ValueError:
        return Fault(text[:40], Missing.DATE)
    return moment.date() if moment.time() == datetime.time() else moment
