"""Which sheet of a job is what: openings, stock, rules, or nothing that is read."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from service.sheets.asked_sheets import (
    READ_OR_SKIP,
    OpeningsSheet,
    chosen_sheets,
    hidden_rows_wanted,
    without_hidden_columns,
)
from service.sheets.blocks import blocks
from service.sheets.cells import Table, Value, cell_text
from service.sheets.columns import Kind
from service.sheets.filling_down import ABOVE_OR_NONE
from service.sheets.heading_datums import heading_datums
from service.sheets.headings import Heading, find_heading, heading_parts, nearest_heading
from service.sheets.kit_columns import KITS, SUPPLIERS
from service.sheets.ledger import ACCEPT, PARK, Ledger, Place
from service.sheets.mapping import ColumnMapping
from service.sheets.opening_columns import OPENINGS
from service.sheets.rules_sheet import NAMES as RULES_NAMES
from service.sheets.rules_sheet import JobWords, RuleCell, rule_cells
from service.sheets.side_by_side import without_second_table
from service.sheets.size_columns import with_size_order
from service.sheets.split_columns import with_fractions
from service.sheets.stock_columns import STOCK_KINDS
from service.sheets.unit_cells import unit_column_instead, with_unit_row
from service.sheets.unread_columns import with_unread_columns
from service.sheets.verdicts import Asked, CellVerdict, Held
from service.sheets.word_cells import plain_words

HOW_TO = ("how to", "read me", "readme", "help", "lists", "instructions", "findings", "columns")
"""Sheets that hold no openings whatever stands in them."""

STOCK = (*STOCK_KINDS, KITS, SUPPLIERS)
PHASE = re.compile(r"\b(?:phase|stage|batch|week|delivery|lot)\b", re.IGNORECASE)
BUILDING = re.compile(r"\b(?:building|bldg|block|house|tower|wing)\b", re.IGNORECASE)
FLOOR = re.compile(r"\b(?:floor|level|storey|story)\b", re.IGNORECASE)


@dataclass(kw_only=True)
class JobSheets:
    """The sheets of a job by what they are."""

    openings: list[OpeningsSheet] = field(default_factory=list)
    stock: list[tuple[Table, Heading, Kind]] = field(default_factory=list)
    words: JobWords = field(default_factory=JobWords)
    rules: list[RuleCell] = field(default_factory=list)


def sheets_of(tables: Sequence[Table], mapping: ColumnMapping, ledger: Ledger) -> JobSheets:
    """Tell the sheets apart, by their names first and by their headings where a name says nothing."""
    job = JobSheets()
    others: list[Table] = []
    for table in tables:
        name = plain_words(table.name)
        for cut in table.cut_off:
            ledger.notice(Place(table.name), f"{cut} are not read")
        stock_kind = next((kind for kind in STOCK if name in (kind.name, *kind.aliases)), None)
        if not table.rows or name in HOW_TO:
            continue
        if name in RULES_NAMES:
            job.words, job.rules = rule_cells(table, ledger)
        elif stock_kind is not None and (stock_kind.name == name or len(tables) > 1):
            _take_stock(table, stock_kind, job, ledger)
        else:
            others.append(table)
    _take_openings(others, mapping, job, ledger)
    return job


def _take_openings(tables: Sequence[Table], mapping: ColumnMapping, job: JobSheets, ledger: Ledger) -> None:
    """Take the sheets that hold openings; ask where more than one may be meant."""
    named = [table for table in tables if plain_words(table.name) in (OPENINGS.name, *OPENINGS.aliases)]
    candidates: list[OpeningsSheet] = []
    for table in tables:
        heading = _heading_of(table, mapping, ledger, alone=table in named or len(tables) == 1)
        if heading is not None:
            candidates.append(OpeningsSheet(table=table, heading=heading, said=_said_by_name(table.name)))
    for sheet, (table, heading) in (
        (chosen, block)
        for chosen in chosen_sheets(candidates, named, ledger)
        for block in blocks(
            chosen.table, chosen.heading, OPENINGS, lambda part: _heading_of(part, mapping, ledger, alone=True)
        )
    ):
        heading = without_second_table(table, heading, OPENINGS, ledger)
        heading = with_unit_row(table, unit_column_instead(table, heading, OPENINGS))
        heading = with_size_order(table, with_fractions(table, heading, ledger), ledger)
        heading = without_hidden_columns(table, heading, OPENINGS, ledger)
        heading = with_unread_columns(table, heading, ledger)
        hidden = hidden_rows_wanted(table, heading, ledger)
        datums = tuple((each.field, each.datum) for each in heading_datums(table, heading, ledger))
        job.openings.append(replace(sheet, table=table, heading=heading, hidden=hidden, said=(*sheet.said, *datums)))
    if not job.openings and not ledger.blocked:
        ledger.error(
            Place(tables[0].name if tables else ""),
            "no sheet has headings for width and height; head the columns, one row an opening, or use the template",
        )


def _heading_of(table: Table, mapping: ColumnMapping, ledger: Ledger, *, alone: bool) -> Heading | None:
    """Return the heading of a sheet of openings, or None if it is no such sheet.

    In a sheet that must be the one (``alone``), a heading that looks like a
    missing one is asked about, and its absence is an error.
    """
    words = mapping.of(table)
    instead: dict[tuple[int, int], str] = {}

    def answered(row: int, column: int) -> str | None:
        answer = instead.get((row, column)) or ledger.answer(Place(table.name, row, column)) or ""
        return None if plain_words(answer) in (*READ_OR_SKIP.words, *ABOVE_OR_NONE, ACCEPT, PARK) else answer

    heading = find_heading(table, OPENINGS, words, answered)
    while alone and heading is not None and heading.missing(OPENINGS):
        mended = _asked_headings(table, heading, ledger)
        if not mended:
            return None
        instead |= mended
        heading = find_heading(table, OPENINGS, words, answered)
    if heading is None and alone:
        ledger.error(
            Place(table.name), "no heading row found; write one with at least width and height above the openings"
        )
    return heading if heading is not None and not heading.missing(OPENINGS) else None


def _asked_headings(table: Table, heading: Heading, ledger: Ledger) -> dict[tuple[int, int], str]:
    """Ask for every missing column about the heading that looks like it; return the headings that were accepted."""
    mended: dict[tuple[int, int], str] = {}
    missing = heading.missing(OPENINGS)
    for column in missing:
        near = nearest_heading(heading.unknown, column)
        if near is None:
            message = f"no column is headed {column.word}; head the column that holds it {column.word}"
            ledger.error(Place(table.name, heading.row), message)
            continue
        index, text = near
        _, unit = heading_parts(text)
        proposal = f"{column.word} ({unit})" if unit else column.word
        message = f"no column is headed {column.word}; write {proposal} if {text} is it"

        def read(value: Value, text: str = text, message: str = message, proposal: str = proposal) -> CellVerdict:
            written = cell_text(value)
            return Asked("headings", message, proposal) if written == text else Held(written)

        held = ledger.settle(Place(table.name, heading.row, index), text, read)
        if held is not None:
            mended[heading.row, index] = held.value
    return mended if len(mended) == len(missing) else {}


def _said_by_name(name: str) -> tuple[tuple[str, str], ...]:
    """Return what a sheet's name says of all its rows."""
    for pattern, told in ((PHASE, "phase"), (BUILDING, "building"), (FLOOR, "floor")):
        if pattern.search(name):
            return ((told, name.strip()),)
    return ()


def _take_stock(table: Table, kind: Kind, job: JobSheets, ledger: Ledger) -> None:
    heading = find_heading(table, kind)
    if heading is None or heading.missing(kind):
        missing = heading.missing(kind) if heading is not None else kind.needed
        words = ", ".join(column.word for column in missing)
        ledger.error(Place(table.name), f"the heading misses: {words}; the template shows the sheet {kind.name}")
        return
    job.stock.append((table, with_unit_row(table, heading), kind))
