"""Short ways to ask the survey about a few rows."""

from typing import Any

from solver.openings import Opening
from solver.survey import SurveyFinding, survey
from tests.builders import opening, problem


def findings(*rows: Opening, **job: Any) -> list[SurveyFinding]:
    """What the survey says of these rows."""
    return list(survey(problem(*rows, **job)))


def of(label: str, *rows: Opening, **job: Any) -> list[SurveyFinding]:
    """What the survey says of one of these rows."""
    return [finding for finding in findings(*rows, **job) if finding.opening == label]


def alike(number: int, **row: Any) -> list[Opening]:
    """So many openings of one type, 33 1/4 x 47 3/8."""
    return [opening(f"W{each}", window_type="A", **row) for each in range(number)]
