"""What the survey says against itself, in the cells it is about."""

from __future__ import annotations

from collections.abc import Mapping

from service.sheets.ledger import Ledger, Place
from service.sheets.opening_rows import OpeningRow
from service.sheets.verdicts import Asked
from solver.problem import Problem
from solver.survey import SurveyKind, survey


def survey_job(problem: Problem, rows: Mapping[str, OpeningRow], ledger: Ledger) -> None:
    """Say what the survey noticed, and ask what it asks.

    Parameters
    ----------
    problem
        The openings that could be read, with their stock and rules.
    rows
        The row of each opening, by label.
    ledger
        Takes every finding.
    """
    for found in survey(problem):
        row = rows.get(found.opening)
        if row is None:
            continue
        place = _place(row, found.field, found.reading)
        if found.kind is SurveyKind.QUESTION:
            ledger.raise_question(place, Asked(found.topic, found.message, found.proposal))
        else:
            ledger.notice(place, found.message)


def _place(row: OpeningRow, field: str, reading: int | None) -> Place:
    """Return the cell of one reading, of the first one, or the row where the field has no cell."""
    columns = row.row.cells.get(field, [])
    column = columns[reading] if reading is not None and reading < len(columns) else row.row.column(field)
    return Place(row.sheet, row.row.number, column)
