"""Tables to a problem: which sheet is what, in which unit, and the records they give."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from service.job_settings import JobSettings
from service.sheets.cells import Table, Value, cell_text
from service.sheets.columns import Kind
from service.sheets.findings import JobReading
from service.sheets.headings import Heading, find_heading, heading_parts, nearest_heading
from service.sheets.ledger import Ledger, Place
from service.sheets.opening_columns import OPENINGS
from service.sheets.opening_rows import OpeningRow, opening_row, openings_of
from service.sheets.rows import read_rows, unit_column_instead
from service.sheets.rules_sheet import NAMES as RULES_NAMES
from service.sheets.rules_sheet import JobWords, RuleCell, rule_cells, rules_of, settings_rules
from service.sheets.stock import ADDERS, catalogue_of
from service.sheets.stock_columns import STOCK_KINDS
from service.sheets.stock_rows import Stock
from service.sheets.units import unit_evidence
from service.sheets.verdicts import Asked, CellVerdict, Held
from service.sheets.word_cells import plain_words
from solver.errors import RecordError
from solver.lengths import Unit
from solver.notation import Comma
from solver.problem import Problem
from solver.rules import Rules

HOW_TO = ("how to", "read me", "readme", "help", "lists", "instructions")
"""Sheets of the template that hold no job."""


@dataclass(slots=True)
class _Job:
    """What the sheets turn out to be."""

    openings: list[tuple[Table, Heading]] = field(default_factory=list)
    stock: list[tuple[Table, Heading, Kind]] = field(default_factory=list)
    words: JobWords = field(default_factory=JobWords)
    rules: list[RuleCell] = field(default_factory=list)


def read_job_tables(tables: Sequence[Table], settings: JobSettings, *, name: str) -> JobReading:
    """Return the tables of a job as understood.

    Parameters
    ----------
    tables
        Sheets of any source.
    settings
        What the caller says beside them; the job's own sheets go before it.
    name
        What the job is called if neither says so.
    """
    ledger = Ledger(settings.answers, accept_proposals=settings.accept_proposals)
    job = _sorted_sheets(tables, settings, ledger)
    assumed: list[str] = []
    unit = _unit(job, settings, ledger, assumed)
    shop = unit.shop
    comma = Comma.DECIMAL if any(table.decimal_comma for table, _ in job.openings) else Comma.UNKNOWN
    if not job.rules and not settings.rules:
        assumed.append("rules: the usual ones, as none are given")
    rules = rules_of([*settings_rules(settings.rules), *job.rules], shop, ledger, comma)
    stock = Stock(shop)
    for table, heading, kind in job.stock:
        for row in read_rows(table, kind, heading, ledger, unit=shop.value, comma=comma):
            missing = [column.word for column in kind.needed if column.field not in row.columns]
            if missing:
                ledger.error(Place(table.name, row.number), f"{', '.join(missing)} missing; fill in, or delete the row")
            elif row.whole:
                ADDERS[kind.name](stock, row, table.name, ledger)
    openings = openings_of(_opening_rows(job, unit, comma, rules, ledger), ledger)
    catalogue, defaults = catalogue_of(stock, openings, ledger)
    for where in ledger.unused_answers():
        ledger.notice(Place("settings"), f"the answer for {where} was not needed: nothing is read from that cell")
    problem = None
    if not openings and not ledger.blocked:
        ledger.error(
            Place(job.openings[0][0].name if job.openings else ""), "no row holds an opening; write one row each"
        )
    if not ledger.blocked and catalogue is not None:
        try:
            problem = Problem(
                openings=tuple(openings),
                catalogue=catalogue,
                rules=rules,
                name=job.words.name or settings.name or name,
                unit=shop,
                currency=job.words.currency or settings.currency,
                assumed=(*assumed, *defaults),
            )
        except RecordError as error:
            ledger.error(Place(""), str(error))
    return JobReading(findings=tuple(ledger.findings), problem=problem, openings=tuple(openings))


def _sorted_sheets(tables: Sequence[Table], settings: JobSettings, ledger: Ledger) -> _Job:
    """Tell the sheets apart, by their names first and by their headings where a name says nothing."""
    job = _Job()
    unnamed: list[Table] = []
    for table in tables:
        name = plain_words(table.name)
        for cut in table.cut_off:
            ledger.notice(Place(table.name), f"{cut} are not read")
        stock_kind = next((kind for kind in STOCK_KINDS if name in (kind.name, *kind.aliases)), None)
        if not table.rows or name in HOW_TO:
            continue
        if name in RULES_NAMES:
            job.words, job.rules = rule_cells(table, ledger)
        elif stock_kind is not None and (stock_kind.name == name or len(tables) > 1):
            _take_stock(table, stock_kind, job, ledger)
        else:
            unnamed.append(table)
    named = [table for table in unnamed if plain_words(table.name) in (OPENINGS.name, *OPENINGS.aliases)]
    for table in named or unnamed:
        heading = find_heading(table, OPENINGS, settings.columns)
        if heading is not None:
            heading = unit_column_instead(table, heading, OPENINGS)
        if heading is None or heading.missing(OPENINGS):
            if named or len(unnamed) == 1:
                _say_missing(table, heading, ledger)
            continue
        job.openings.append((table, heading))
        for index, text in heading.unknown:
            ledger.notice(Place(table.name, heading.row, index), f"column {text} is not read", text)
    if not job.openings and not ledger.blocked:
        ledger.error(
            Place(unnamed[0].name if unnamed else ""),
            "no sheet has headings for width and height; head the columns, one row an opening, or use the template",
        )
    return job


def _take_stock(table: Table, kind: Kind, job: _Job, ledger: Ledger) -> None:
    heading = find_heading(table, kind)
    if heading is None or heading.missing(kind):
        missing = heading.missing(kind) if heading is not None else kind.needed
        words = ", ".join(column.word for column in missing)
        ledger.error(Place(table.name), f"the heading misses: {words}; the template shows the sheet {kind.name}")
        return
    job.stock.append((table, heading, kind))


def _say_missing(table: Table, heading: Heading | None, ledger: Ledger) -> None:
    """Say which column is missing, and which heading may be it."""
    if heading is None:
        ledger.error(
            Place(table.name),
            "no heading row found; write one with at least width and height above the openings",
        )
        return
    for column in heading.missing(OPENINGS):
        near = nearest_heading(heading.unknown, column)
        if near is not None:
            index, text = near
            ledger.error(
                Place(table.name, heading.row, index),
                f"no column is headed {column.word}; if {text} is it, head it {column.word}",
                text,
            )
        else:
            ledger.error(
                Place(table.name, heading.row),
                f"no column is headed {column.word}; head the column that holds it {column.word}",
            )


@dataclass(frozen=True, slots=True)
class JobUnit:
    """The unit of the plan's texts and of bare numbers in stock lists, and that of bare sizes of openings."""

    shop: Unit
    bare: str


def _unit(job: _Job, settings: JobSettings, ledger: Ledger, assumed: list[str]) -> JobUnit:
    """Return the unit of bare numbers and of the plan's texts; ask if nothing shows it."""
    stated = job.words.unit or settings.unit or ""
    if stated:
        return JobUnit(Unit(stated), stated)
    headings = [bound.unit for _, heading in job.openings for bound in heading.columns if bound.unit]
    if headings:
        return _shop_unit(headings[0])
    for table, heading in job.openings:
        evidence = unit_evidence(table, heading)
        if not evidence.unit:
            continue
        bound = next(bound for bound in heading.columns if bound.column.field == "widths")
        place = Place(table.name, heading.row, bound.index)
        if not evidence.sure:
            return _shop_unit(_asked_unit(place, bound.heading, evidence.unit, ledger))
        words = {"in": "inches", "mm": "millimetres"}[evidence.unit]
        shown = f" in {evidence.cell}" if evidence.cell else ""
        message = f"no unit is given; bare numbers are read as {words}, as {evidence.why}{shown} shows"
        if ledger.answer(place) is not None:
            return _shop_unit(_asked_unit(place, bound.heading, evidence.unit, ledger))
        assumed.append(f"unit: {message}")
        ledger.notice(place, message, bound.heading)
        return _shop_unit(evidence.unit)
    return JobUnit(Unit.INCH, "in")


def _asked_unit(place: Place, heading: str, likely: str, ledger: Ledger) -> str:
    """Return the unit answered for a heading; until then the likely one, so that all cells are checked."""
    proposal = f"{heading} ({likely})"
    message = f"nobody says in which unit the sizes are; write it in the heading, such as {proposal}"

    def read(value: Value) -> CellVerdict:
        _, unit = heading_parts(cell_text(value))
        return Held(unit) if unit else Asked("unit of sizes", message, proposal)

    held = ledger.settle(place, heading, read)
    return str(held.value) if held is not None else likely


def _shop_unit(bare: str) -> JobUnit:
    return JobUnit(Unit.INCH if bare in {"in", "ft"} else Unit.MM, bare)


def _opening_rows(job: _Job, unit: JobUnit, comma: Comma, rules: Rules, ledger: Ledger) -> list[OpeningRow]:
    found: list[OpeningRow] = []
    for table, heading in job.openings:
        for row in read_rows(table, OPENINGS, heading, ledger, unit=unit.bare, comma=comma):
            opening = opening_row(row, table.name, rules, ledger)
            if opening is not None:
                found.append(opening)
    return found
