"""Rows that cannot be used are set aside with their place; the rest is planned."""

from collections.abc import Sequence
from pathlib import Path

from tests.service.sheets.sheet_makers import read, serious, workbook

ROWS = [
    ("building", "floor", "unit", "mark", "width (in)", "height (in)"),
    ("A", "10", "1001", "K1", "27 5/8", 41.5),
    ("A", "10", "1002", "K1", "TBD", 41.5),
    ("A", "2", "202", "K1", "27,5", 41.5),
]


def test_faulty_rows_are_parked_as_a_walking_route(tmp_path: Path) -> None:
    reading = read(workbook(tmp_path, {"openings": ROWS}), park_faulty_rows=True)
    assert serious(reading) == []
    assert reading.problem is not None
    assert [each.label for each in reading.problem.openings] == ["A-10-1001-K1"]
    assert [(each.floor, each.unit, each.read) for each in reading.problem.parked] == [
        ("2", "202", "27,5 x 41.5"),
        ("10", "1002", "TBD x 41.5"),
    ]
    assert reading.problem.parked[1].reasons == ("E3: TBD is no length; write one such as 27 5/8",)


def test_one_row_is_parked_by_the_answer_for_its_cell(tmp_path: Path) -> None:
    path = workbook(tmp_path, {"openings": ROWS})
    reading = read(path, answers={"openings!E3": "park", "openings!E4": "27 1/2"})
    assert serious(reading) == []
    assert reading.problem is not None
    assert [each.label for each in reading.problem.parked] == ["A-10-1002-K1"]


def test_questions_of_one_kind_are_answered_all_alike(tmp_path: Path) -> None:
    path = workbook(tmp_path, {"openings": [*ROWS[:2], ROWS[3]]})
    assert serious(read(path, answers={"every comma": "accept"})) == []
    parked = read(path, answers={"every comma": "park"}).problem
    assert parked is not None
    assert len(parked.parked) == 1


def test_parking_every_row_leaves_nothing_to_plan(tmp_path: Path) -> None:
    reading = read(workbook(tmp_path, {"openings": [ROWS[0], ROWS[2]]}), park_faulty_rows=True)
    assert reading.problem is None
    assert serious(reading) == [" error: every row is set aside to be measured again; nothing is left to plan"]


def test_faults_of_stock_and_rules_are_never_parked(tmp_path: Path) -> None:
    sheets: dict[str, Sequence[Sequence[object]]] = {
        "openings": ROWS[:2],
        "rules": [("rule", "value"), ("kerf", "wide")],
    }
    reading = read(workbook(tmp_path, sheets), park_faulty_rows=True)
    assert serious(reading) == ["rules!B2 error: wide is no length; write one such as 27 5/8"]
