"""Old binary workbooks (.xls) to tables."""

from __future__ import annotations

import io
import struct
from pathlib import Path

import xlrd  # type: ignore[import-untyped]

from service.errors import SheetError
from service.sheets.cells import Fault, Merge, Table, Value
from service.sheets.formats import PLAIN, Format, number_format
from service.sheets.limits import MAX_CELLS, MAX_COLUMNS, MAX_ROWS, MAX_TEXT
from service.sheets.xlsx_file import formatted
from service.sheets.xml_member import DAMAGED

_BROKEN = (
    xlrd.XLRDError, xlrd.compdoc.CompDocError, struct.error, AssertionError, LookupError, ValueError, TypeError,
    OverflowError, AttributeError, RecursionError, EOFError, NotImplementedError,
)  # fmt: skip
"""What the reader raises on damaged files, which it was not written for."""


def read_xls(path: Path) -> tuple[Table, ...]:
    """Return every sheet of a workbook as a table.

    Raises
    ------
    SheetError
        If the workbook is damaged, locked or far too large.
    """
    try:
        book = xlrd.open_workbook(
            file_contents=path.read_bytes(), formatting_info=True, ragged_rows=True, logfile=io.StringIO()
        )
        formats = [_format(book, style) for style in book.xf_list]
        tables = [_table(book, sheet, formats) for sheet in book.sheets()]
    except _BROKEN as error:
        if "encrypted" in str(error):
            raise SheetError("the file is locked with a password; take the password off and save it again") from error
        raise SheetError(DAMAGED) from error
    rows = sum(len(table.rows) for table in tables)
    if rows > MAX_ROWS or sum(len(values) for table in tables for _, values in table.rows) > MAX_CELLS:
        raise SheetError(f"the workbook has over {MAX_ROWS:,} rows or {MAX_CELLS:,} cells; split the job")
    return tuple(tables)


def _format(book: xlrd.Book, style: object) -> Format:
    found = book.format_map.get(style.format_key)  # type: ignore[attr-defined]
    return number_format(found.format_str[:255]) if found is not None else PLAIN


def _table(book: xlrd.Book, sheet: xlrd.sheet.Sheet, formats: list[Format]) -> Table:
    rows: list[tuple[int, list[Value]]] = []
    for row in range(sheet.nrows):
        values = [_value(book, cell, formats) for cell in sheet.row(row)[:MAX_COLUMNS]]
        while values and values[-1] is None:
            values.pop()
        if values:
            rows.append((row + 1, values))
    return Table(
        name=sheet.name,
        rows=rows,
        hidden=sheet.visibility != 0,
        hidden_rows=frozenset(row + 1 for row, shown in sheet.rowinfo_map.items() if shown.hidden),
        hidden_columns=frozenset(column for column, shown in sheet.colinfo_map.items() if shown.hidden),
        merges=tuple(
            Merge(first_row + 1, first_column, last_row, last_column - 1)
            for first_row, last_row, first_column, last_column in sheet.merged_cells
        ),
    )


def _value(book: xlrd.Book, cell: xlrd.sheet.Cell, formats: list[Format]) -> Value:
    match cell.ctype:
        case xlrd.XL_CELL_TEXT:
            return cell.value[:MAX_TEXT] if cell.value.strip() else None
        case xlrd.XL_CELL_NUMBER | xlrd.XL_CELL_DATE:
            how = formats[cell.xf_index] if cell.xf_index is not None and cell.xf_index < len(formats) else PLAIN
            return formatted(cell.value, how, since_1904=book.datemode == 1)
        case xlrd.XL_CELL_BOOLEAN:
            return bool(cell.value)
        case xlrd.XL_CELL_ERROR:
            return Fault(xlrd.error_text_from_code.get(cell.value, "#error"))
        case _:
            return None
