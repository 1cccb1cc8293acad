"""Tables to a problem: everything read, asked and surveyed, and the records it gives."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from service.job_settings import JobSettings
from service.sheets.cells import Table
from service.sheets.findings import JobReading
from service.sheets.job_unit import JobUnit, job_unit
from service.sheets.kit_rows import NO_STICKS, STICKS_OF_A_KIT
from service.sheets.ledger import Ledger, Place
from service.sheets.mapping import ColumnMapping
from service.sheets.opening_rows import OpeningRow, labelled, opening_row, openings_of
from service.sheets.parking import parked_rows, with_parked
from service.sheets.rows import read_rows
from service.sheets.rules_sheet import rules_of, settings_rules
from service.sheets.sheet_roles import JobSheets, sheets_of
from service.sheets.stock import ADDERS, catalogue_of
from service.sheets.stock_rows import Stock
from service.sheets.surveyed import survey_job
from solver.catalogue import Catalogue
from solver.errors import RecordError
from solver.notation import Comma
from solver.openings import Opening
from solver.problem import Problem
from solver.rules import Rules

_MOST_ROUNDS = 3
"""Times a job is read again because accepted proposals replaced readings."""


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
    answers = dict(settings.answers)
    for _ in range(_MOST_ROUNDS):
        ledger = Ledger(answers, accept_proposals=settings.accept_proposals)
        reading = _JobReader(tables, settings, ledger).read(name)
        # A proposal accepted for a reading that could be read as it stood changes what all others are compared with.
        if not ledger.proposed:
            break
        answers |= ledger.proposed
    return reading


class _JobReader:
    """Reads the tables of one job with one set of answers."""

    def __init__(self, tables: Sequence[Table], settings: JobSettings, ledger: Ledger) -> None:
        self._settings = settings
        self._ledger = ledger
        self._mapping = ColumnMapping(tables, settings.columns, settings.remembered_columns, ledger)
        self._sheets: JobSheets = sheets_of(tables, self._mapping, ledger)
        self._assumed: list[str] = []
        self._stock_places: dict[tuple[str, str], Place] = {}

    def read(self, name: str) -> JobReading:
        """Return the job as understood."""
        ledger, sheets, settings = self._ledger, self._sheets, self._settings
        unit = job_unit(sheets.openings, sheets.words.unit or settings.unit or "", ledger)
        if unit.shown_by:
            self._assumed.append(unit.shown_by)
        comma = Comma.DECIMAL if any(sheet.table.decimal_comma for sheet in sheets.openings) else Comma.UNKNOWN
        if not sheets.rules and not settings.rules:
            self._assumed.append("rules: the usual ones, as none are given")
        rules = rules_of([*settings_rules(settings.rules), *sheets.rules], unit.shop, ledger, comma)
        stock = self._stock(unit, comma)
        self._stock_places = stock.sizes
        rows = self._opening_rows(unit, comma, rules)
        labelled(rows, ledger)
        openings = openings_of(rows, ledger)
        catalogue, defaults = catalogue_of(stock, openings, ledger)
        whole = self._problem(name, unit, rules, openings, catalogue, defaults)
        if whole is not None:
            survey_job(whole, {each.label: each for each in rows}, ledger)
        for where in ledger.unused_answers():
            ledger.notice(Place("settings"), f"the answer for {where} was not needed: nothing is read from that cell")
        return self._settled(rows, openings, whole)

    def _settled(self, rows: list[OpeningRow], openings: list[Opening], whole: Problem | None) -> JobReading:
        """Park the rows that are to be parked, and return the problem if nothing else stands in the way."""
        ledger = self._ledger
        to_park = set(ledger.to_park)
        ours = {(each.sheet, each.row.number) for each in rows}
        if self._settings.park_faulty_rows:
            to_park |= ledger.troubled_rows & ours
        if not ours and not ledger.blocked:
            first = self._sheets.openings[0].table.name if self._sheets.openings else ""
            ledger.error(Place(first), "no row holds an opening; write one row each")
        kept = tuple(opening for opening in openings if _row(opening) not in to_park)
        if ours and to_park and not kept:
            ledger.error(Place(""), "every row is set aside to be measured again; nothing is left to plan")
        findings = with_parked(ledger.findings, to_park)
        parked = parked_rows(rows, to_park, ledger.findings)
        blocked = any(finding.verdict.value != "notice" for finding in findings)
        problem = replace(whole, openings=kept, parked=parked) if whole is not None and kept and not blocked else None
        return JobReading(
            findings=findings,
            problem=problem,
            openings=kept,
            shape=self._mapping.shape,
            columns=self._mapping.used,
            stock_cells={name: (place.sheet, place.cell) for name, place in self._stock_places.items()},
        )

    def _stock(self, unit: JobUnit, comma: Comma) -> Stock:
        stock, ledger = Stock(unit.shop), self._ledger
        for table, heading, kind in self._sheets.stock:
            for row in read_rows(table, heading, ledger, unit=unit.shop.value, comma=comma):
                missing = [column for column in kind.needed if column.field not in row.columns]
                if missing:
                    message = f"{', '.join(column.word for column in missing)} missing; fill in, or delete the row"
                    if kind.name == "kits" and missing[0].field in STICKS_OF_A_KIT:
                        message = NO_STICKS
                    ledger.error(Place(table.name, row.number, row.column(missing[0].field)), message)
                elif row.whole:
                    ADDERS[kind.name](stock, row, table.name, ledger)
        return stock

    def _opening_rows(self, unit: JobUnit, comma: Comma, rules: Rules) -> list[OpeningRow]:
        return [
            opening_row(row, sheet, rules, self._ledger)
            for sheet in self._sheets.openings
            for row in read_rows(
                sheet.table, sheet.heading, self._ledger, unit=unit.bare, comma=comma, hidden=sheet.hidden
            )
        ]

    def _problem(
        self,
        name: str,
        unit: JobUnit,
        rules: Rules,
        openings: list[Opening],
        catalogue: Catalogue | None,
        defaults: tuple[str, ...],
    ) -> Problem | None:
        """Return the problem of the rows that can be read so far."""
        words, settings = self._sheets.words, self._settings
        if catalogue is None or not openings:
            return None
        try:
            return Problem(
                openings=tuple(openings),
                catalogue=catalogue,
                rules=rules,
                name=words.name or settings.name or name,
                unit=unit.shop,
                currency=words.currency or settings.currency,
                assumed=(*self._assumed, *defaults),
            )
        except RecordError as error:
            self._ledger.error(Place(""), str(error))
            return None


def _row(opening: Opening) -> tuple[str, int]:
    sheet, _, row = opening.source.rpartition("!")
    return sheet, int(row)
