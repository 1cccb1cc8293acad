"""Questions are answered cell by cell or by their proposals; nothing is ever guessed."""

from pathlib import Path

from solver.lengths import inches
from tests.service.sheets.sheet_makers import read, serious, widths


def test_a_question_stops_the_job_until_it_is_answered(tmp_path: Path) -> None:
    path = widths(tmp_path, ["27,5"])
    assert read(path).problem is None
    answered = read(path, answers={"openings!B2": "27 1/2"})
    assert answered.problem is not None
    assert answered.problem.openings[0].widths == (inches(27, 1, 2),)


def test_accepted_proposals_are_said_as_notices(tmp_path: Path) -> None:
    reading = read(widths(tmp_path, ["27,5"]), accept_proposals=True)
    assert [(each.cell, each.verdict.value, each.message) for each in reading.findings] == [
        ("B2", "notice", "proposal accepted: 27.5")
    ]
    assert reading.problem is not None


def test_an_answer_mends_an_error_too(tmp_path: Path) -> None:
    reading = read(widths(tmp_path, ["thirty"]), answers={"openings!B2": "30"})
    assert serious(reading) == []
    assert reading.openings[0].widths == (inches(30),)


def test_an_answer_that_cannot_be_read_is_an_error_in_its_cell(tmp_path: Path) -> None:
    reading = read(widths(tmp_path, ["27,5"]), answers={"openings!B2": "thirty"})
    assert serious(reading) == ["openings!B2 error: thirty is no length; write one such as 27 5/8"]


def test_the_remark_beside_a_confirmed_reading_becomes_a_note(tmp_path: Path) -> None:
    reading = read(widths(tmp_path, ["27 5/8 (tight)"]), accept_proposals=True)
    assert reading.openings[0].note == "width (in): tight"


def test_an_answer_for_a_cell_nobody_reads_is_said(tmp_path: Path) -> None:
    reading = read(widths(tmp_path, ["27 5/8"]), answers={"openings!Z9": "30"})
    assert [each.message for each in reading.findings] == [
        "the answer for openings!z9 was not needed: nothing is read from that cell"
    ]


def test_without_any_unit_whole_numbers_are_asked_about_in_the_heading(tmp_path: Path) -> None:
    path = widths(tmp_path, [30, 40], ("label", "width", "height"))
    assert serious(read(path)) == [
        "openings!B1 question: nobody says in which unit the sizes are; write it in the heading, such as width (in)"
    ]
    assert read(path, answers={"openings!B1": "width (in)"}).openings[0].widths == (inches(30),)
    assert read(path, unit="in").problem is not None


def test_a_tape_fraction_shows_the_unit_of_the_bare_numbers_beside_it(tmp_path: Path) -> None:
    reading = read(widths(tmp_path, ["27 5/8", 40], ("label", "width", "height")))
    assert serious(reading) == []
    assert reading.problem is not None
    assert "unit: no unit is given; bare numbers are read as inches, as a tape fraction in B2 shows" in (
        reading.problem.assumed
    )
