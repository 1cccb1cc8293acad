"""A list of leftovers by itself: read from any table, written as CSV or as a workbook.

The columns are those of a job's own sheet of leftovers, so a list that was
written here can be copied into a job, and one a shop keeps can be read.
"""

from __future__ import annotations

import csv
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import xlsxwriter

from service.errors import SheetError
from service.sheets.files import read_tables
from service.sheets.findings import Finding, Verdict
from service.sheets.headings import find_heading
from service.sheets.ledger import Ledger
from service.sheets.rows import read_rows
from service.sheets.stock_columns import LEFTOVERS
from service.sheets.word_cells import plain_words
from solver.lengths import Ticks, Unit
from solver.notation import Comma

WORDS = ("name", "profile", "colour", "mesh", "width", "length", "count", "note")
MORE = ("state", "days", "place", "job")
"""Columns that only a written list has; a reader passes over them."""


@dataclass(frozen=True, kw_only=True, slots=True)
class LeftoverRow:
    """One row: ``name`` is what its label says, ``count`` how many alike; ``length`` None where it is empty."""

    name: str
    profile: str
    colour: str
    mesh: str
    width: Ticks
    length: Ticks | None
    count: int
    note: str
    row: int


def read_leftovers(path: Path, unit: Unit) -> tuple[list[LeftoverRow], tuple[Finding, ...]]:
    """Return the rows of a list of leftovers, and what stands in their way.

    Parameters
    ----------
    path
        Workbook or text table; a sheet called leftovers, or the first with the headings of one.
    unit
        Of bare numbers.

    Raises
    ------
    SheetError
        If the file is no table, or none of its sheets lists leftovers.
    """
    tables = read_tables(path)
    named = [table for table in tables if plain_words(table.name) in (LEFTOVERS.name, *LEFTOVERS.aliases)]
    ledger = Ledger()
    for table in named or tables:
        heading = find_heading(table, LEFTOVERS)
        if heading is None or heading.missing(LEFTOVERS):
            continue
        below = read_rows(table, heading, ledger, unit=unit.value, comma=Comma.UNKNOWN)
        rows = [_row(row.values, row.number) for row in below if row.whole]
        return rows, tuple(finding for finding in ledger.findings if finding.verdict is not Verdict.NOTICE)
    raise SheetError(f"{path.name}: no sheet lists leftovers; head the columns {', '.join(WORDS)}")


def _row(values: Mapping[str, object], number: int) -> LeftoverRow:
    def text(field: str) -> str:
        return str(values.get(field) or "")

    length, width = values.get("length"), values.get("width")
    count = values.get("on_hand", 1)
    return LeftoverRow(
        name=text("name"),
        profile=text("profile"),
        colour=text("colour"),
        mesh=text("mesh"),
        width=Ticks(width) if isinstance(width, int) else Ticks(0),
        length=Ticks(length) if isinstance(length, int) else None,
        count=count if isinstance(count, int) else 1,
        note=text("source"),
        row=number,
    )


def write_leftovers(path: Path, rows: Sequence[Mapping[str, str | int]]) -> None:
    """Write a list of leftovers; a name ending in ``.xlsx`` makes a workbook, any other a CSV file (RFC 4180).

    Parameters
    ----------
    path
        Where to.
    rows
        A row maps the words of ``WORDS`` and ``MORE`` to cells; lengths are texts with their unit.
    """
    headings = (*WORDS, *MORE)
    if path.suffix.lower() == ".xlsx":
        with xlsxwriter.Workbook(str(path), {"strings_to_formulas": False, "strings_to_urls": False}) as book:
            sheet = book.add_worksheet(LEFTOVERS.name)
            bold = book.add_format({"bold": True})
            for column, heading in enumerate(headings):
                sheet.write_string(0, column, heading, bold)
                sheet.set_column(column, column, 14)
            for number, row in enumerate(rows, start=1):
                for column, heading in enumerate(headings):
                    value = row.get(heading, "")
                    if isinstance(value, int):
                        sheet.write_number(number, column, value)
                    else:
                        sheet.write_string(number, column, value)
            sheet.freeze_panes(1, 0)
        return
    with path.open("w", encoding="utf-8-sig", newline="") as file:
        lines = csv.writer(file)
        lines.writerow(headings)
        for row in rows:
            lines.writerow([row.get(heading, "") for heading in headings])
