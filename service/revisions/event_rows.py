"""Rows of a sheet of events, or of a bare list of scanned codes, before anybody asks what they mean."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from service.errors import SheetError
from service.revisions.event_words import COLUMNS
from service.sheets.cells import cell_text
from service.sheets.files import read_tables

SCANNED = "rail cut"
"""What a code means that somebody scanned and said nothing about."""


def event_rows(path: Path) -> list[dict[str, str]]:
    """Return the rows of a sheet, each cell that is filled in by its heading.

    Raises
    ------
    SheetError
        If the file is no table, or names neither events nor codes.
    """
    _, rows = numbered_rows(path)
    return [{name: text for name, text in row.items() if text} for _, row in rows if any(row.values())]


def numbered_rows(path: Path) -> tuple[str, list[tuple[int, Mapping[str, str]]]]:
    """Return the name of the sheet and its rows with their numbers.

    A sheet with a column ``code`` and none called ``event`` is what a scanner
    wrote: each code is a rail that is cut.
    """
    for table in read_tables(path):
        headings: dict[int, str] = {}
        rows: list[tuple[int, Mapping[str, str]]] = []
        for number, values in table.rows:
            texts = [cell_text(value) for value in values]
            if not headings:
                known = {place: text.lower() for place, text in enumerate(texts) if text.lower() in COLUMNS}
                headings = known if {"event", "code"} & set(known.values()) else {}
                continue
            row = {name: texts[place] for place, name in headings.items() if place < len(texts)}
            if "event" not in headings.values() and any(row.values()):
                row["event"] = SCANNED
            rows.append((number, row))
        if headings:
            return table.name, rows
    raise SheetError(f"{path.name}: no sheet has a column event; the columns are {', '.join(COLUMNS)}")
