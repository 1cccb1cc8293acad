"""Questions are sorted for working through, and a form's answers are taken as meant."""

from __future__ import annotations

from service.sheets.findings import Finding, Verdict
from service.web.questions import answers_of, worksheet


def question(cell: str, *, kind: str = "date", proposal: str = "3/8") -> Finding:
    return Finding(
        sheet="openings", cell=cell, verdict=Verdict.QUESTION, message="?", text="x", proposal=proposal, kind=kind
    )


ASKED = (question("C7"), question("C8"), question("D9", kind="comma", proposal="27 5/8"), question("E1", kind=""))


def test_questions_of_one_kind_stand_together_and_the_others_apart() -> None:
    sheet = worksheet([ASKED[2], *ASKED[:2], ASKED[3]])
    assert [[finding.cell for finding in alike.findings] for alike in sheet.alike] == [["C7", "C8"]]
    assert [finding.cell for finding in sheet.single] == ["D9", "E1"]
    assert (sheet.asked, sheet.proposals) == (4, 4)


def test_questions_without_a_kind_are_never_alike() -> None:
    sheet = worksheet([question("A1", kind=""), question("A2", kind="")])
    assert (sheet.alike, len(sheet.single)) == ((), 2)


def test_nothing_is_answered_that_was_not_asked_for() -> None:
    assert answers_of({"cell.openings!C7": "  ", "cell.nowhere!Z9": "1"}, ASKED) == {}


def test_one_proposal_is_taken_by_its_cell() -> None:
    assert answers_of({"take": "openings!D9"}, ASKED) == {"openings!D9": "27 5/8"}


def test_all_alike_are_taken_by_their_kind_also_those_that_are_not_shown() -> None:
    assert answers_of({"take_kind": "date"}, ASKED) == {"every date": "accept"}
    assert answers_of({"take_kind": "nothing asked"}, ASKED) == {}


def test_what_was_written_is_sent_along_with_a_proposal_taken() -> None:
    answers = answers_of({"take": "openings!C8", "cell.openings!C7": "5/8", "cell.openings!C8": "9/16"}, ASKED)
    assert answers == {"openings!C7": "5/8", "openings!C8": "3/8"}


def test_an_error_takes_what_was_written_and_no_proposal() -> None:
    error = Finding(sheet="openings", cell="C7", verdict=Verdict.ERROR, message="!", proposal="27")
    assert answers_of({"take": "openings!C7"}, (error,)) == {}
    assert answers_of({"cell.openings!C7": "27 5/8"}, (error,)) == {"openings!C7": "27 5/8"}
