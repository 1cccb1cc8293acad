"""What the survey says against itself stands in the cells it is about, and is settled by any answer for them."""

from pathlib import Path
from typing import Any

from solver.lengths import inches
from tests.service.sheets.sheet_makers import read, serious, workbook

HEADING = ("label", "window type", "width (in)", "height (in)")
ALIKE: list[tuple[Any, ...]] = [(f"K{number}", "A", 27.625, 41.5) for number in range(6)]


def _job(folder: Path, odd: tuple[Any, ...]) -> Path:
    return workbook(folder, {"openings": [HEADING, *ALIKE, ("K9", "A", *odd)]})


def test_a_swapped_opening_is_asked_about_in_both_its_cells(tmp_path: Path) -> None:
    found = [each for each in read(_job(tmp_path, (41.5, 27.625))).findings if each.verdict.value == "question"]
    assert [(each.cell, each.kind, each.proposal) for each in found] == [
        ("C8", "swapped", "27 5/8 in"),
        ("D8", "swapped", "41 1/2 in"),
    ]


def test_an_accepted_proposal_of_the_survey_replaces_the_reading(tmp_path: Path) -> None:
    reading = read(_job(tmp_path, (41.5, 27.625)), accept_proposals=True)
    assert serious(reading) == []
    assert reading.openings[-1].widths == (inches(27, 5, 8),)


def test_the_same_reading_once_more_confirms_it(tmp_path: Path) -> None:
    answers = {"openings!C8": "41.5", "openings!D8": "27.625"}
    reading = read(_job(tmp_path, (41.5, 27.625)), answers=answers)
    assert serious(reading) == []
    assert reading.openings[-1].widths == (inches(41, 1, 2),)
    assert any(each.message.startswith("confirmed: ") for each in reading.findings)


def test_questions_of_the_survey_can_be_parked_alike(tmp_path: Path) -> None:
    problem = read(_job(tmp_path, (41.5, 27.625)), answers={"every swapped": "park"}).problem
    assert problem is not None
    assert [row.label for row in problem.parked] == ["K9"]
    assert len(problem.openings) == len(ALIKE)
