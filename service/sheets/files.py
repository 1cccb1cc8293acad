"""Any file of openings to tables of cells."""

from __future__ import annotations

from pathlib import Path

from service.errors import SheetError
from service.sheets.cells import Table
from service.sheets.sniff import FileKind, file_kind


def read_tables(path: Path) -> tuple[Table, ...]:
    """Return the tables of a file; what it is, its first bytes say.

    Raises
    ------
    SheetError
        If the file is no table, damaged, locked or far too large.
    """
    if not path.is_file():
        raise SheetError(f"there is no file {path.name}")
    kind = file_kind(path)
    # Each reader is imported when it is needed: starting the program counts.
    if kind is FileKind.XLSX:
        from service.sheets.xlsx_file import read_xlsx

        return read_xlsx(path)
    if kind is FileKind.ODS:
        from service.sheets.ods_file import read_ods

        return read_ods(path)
    if kind is FileKind.XLS:
        from service.sheets.xls_file import read_xls

        return read_xls(path)
    from service.sheets.csv_file import read_csv

    return read_csv(path)
