"""What is asked about whole sheets, hidden rows and hidden columns: read or skip."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Any

from service.sheets.cells import Table, cell_text
from service.sheets.columns import Kind
from service.sheets.headings import Heading
from service.sheets.ledger import Ledger, Place
from service.sheets.verdicts import Asked
from service.sheets.word_cells import ChoiceCells, plain_words

READ_OR_SKIP = ChoiceCells(
    {"read": True, "yes": True, "take": True, "include": True, "skip": False, "no": False, "leave out": False},
    ("read", "skip"),
)
_OLD = re.compile(r"\b(?:old|copy|backup|archive|draft|previous|alt|kopie|do not use|superseded)\b", re.IGNORECASE)
_MOST_SHOWN = 8
_COMPARED = 2_000


@dataclass(frozen=True, kw_only=True)
class OpeningsSheet:
    """A sheet of openings: its table, where its columns stand, and what its name says of every row.

    ``hidden`` is whether hidden rows are read too.
    """

    table: Table
    heading: Heading
    said: tuple[tuple[str, Any], ...] = ()
    hidden: bool = False


def chosen_sheets(candidates: Sequence[OpeningsSheet], named: Iterable[Table], ledger: Ledger) -> list[OpeningsSheet]:
    """Return the sheets of openings to read; phases, buildings and floors are read together, others asked about."""
    if not candidates:
        return []
    names = [table.name for table in named]
    visible = [sheet for sheet in candidates if not sheet.table.hidden] or list(candidates)
    main = next((sheet for sheet in visible if sheet.table.name in names), visible[0])
    siblings = [sheet for sheet in candidates if sheet.said and not sheet.table.hidden]
    together = siblings if main.said else []
    chosen: list[OpeningsSheet] = []
    for sheet in candidates:
        if sheet is main and sheet.table.hidden:
            message = "this sheet is hidden and the only list of openings; write read to plan it, or skip"
            held = ledger.ask(Place(sheet.table.name), Asked("sheets", message, "read"), READ_OR_SKIP)
            if held is None or held.value:
                chosen.append(sheet)
        elif sheet is main or sheet in together:
            if len(candidates) > 1:
                ledger.notice(Place(sheet.table.name), "read as openings" + _as_said(sheet))
            chosen.append(sheet)
        elif _wanted(sheet, main, ledger):
            chosen.append(sheet)
    if len(chosen) == 1:
        # The name of the only sheet says nothing that the rows need to be told apart by.
        return [replace(chosen[0], said=())]
    return chosen


def _as_said(sheet: OpeningsSheet) -> str:
    return f"; {sheet.said[0][0]} {sheet.said[0][1]} where a row gives none" if sheet.said else ""


def _wanted(sheet: OpeningsSheet, main: OpeningsSheet, ledger: Ledger) -> bool:
    table = sheet.table
    repeats = _repeats(sheet, main)
    why = "it is hidden" if table.hidden else "its rows repeat those of that sheet" if repeats else ""
    skip = table.hidden or repeats or bool(_OLD.search(table.name))
    message = (
        f"this sheet also looks like a list of openings, beside {main.table.name}"
        f"{f', but {why}' if why else ''}; write read or skip"
    )
    held = ledger.ask(Place(table.name), Asked("sheets", message, "skip" if skip else "read"), READ_OR_SKIP)
    return bool(held and held.value)


def _repeats(sheet: OpeningsSheet, main: OpeningsSheet) -> bool:
    """Return whether most rows of a sheet stand in the main sheet already."""
    rows = _row_texts(sheet)
    return bool(rows) and len(rows & _row_texts(main)) * 2 > len(rows)


def _row_texts(sheet: OpeningsSheet) -> set[tuple[str, ...]]:
    return {
        tuple(cell_text(value).casefold() for value in values if value is not None)
        for number, values in sheet.table.rows[:_COMPARED]
        if number > sheet.heading.row
    }


def hidden_rows_wanted(table: Table, heading: Heading, ledger: Ledger) -> bool:
    """Return whether hidden rows below the heading are read; ask if there are any."""
    hidden = [number for number, _ in table.rows if number > heading.row and number in table.hidden_rows]
    if not hidden:
        return False
    shown = ", ".join(map(str, hidden[:_MOST_SHOWN])) + (" ..." if len(hidden) > _MOST_SHOWN else "")
    count = f"{len(hidden)} rows are" if len(hidden) > 1 else "1 row is"
    message = f"{count} hidden ({shown}), by a filter or by hand; write read to plan them too, or skip"
    held = ledger.ask(Place(table.name, hidden[0]), Asked("hidden rows", message, "skip"), READ_OR_SKIP)
    return bool(held and held.value)


def without_hidden_columns(table: Table, heading: Heading, kind: Kind, ledger: Ledger) -> Heading:
    """Return the heading without the hidden columns nobody wants read; ask about each that matters."""
    kept = []
    for bound in heading.columns:
        filled = any(
            bound.index < len(values) and values[bound.index] is not None
            for number, values in table.rows[:_COMPARED]
            if number > heading.row
        )
        if bound.index in table.hidden_columns and filled and plain_words(bound.column.word) != "note":
            message = f"the column {bound.heading} is hidden; write read to use it, or skip"
            proposal = "read" if bound.column in kind.needed else "skip"
            place = Place(table.name, heading.row, bound.index)
            held = ledger.ask(place, Asked("hidden columns", message, proposal), READ_OR_SKIP, bound.heading)
            # While nobody has answered, the column is read, so that its cells are checked all the same.
            if held is not None and not held.value:
                continue
        kept.append(bound)
    return replace(heading, columns=tuple(kept))
