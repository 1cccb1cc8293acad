"""Repeats, notes, rules of the shop, and what a channel, profile or roll has against an opening."""

from typing import Any

from solver.catalogue import Mesh
from solver.lengths import Ticks, inches
from solver.openings import Datum, Mounting, Opening
from solver.rules import Rules, Turning
from solver.survey import SurveyKind, survey
from tests.builders import MESH, opening, problem, profile, roll
from tests.solver.survey.surveys import findings

PLACE: dict[str, Any] = {"building": "B", "floor": "1", "unit": "101", "room": "bed"}


def measured(label: str, **row: Any) -> Opening:
    twice = {"widths": (inches(33, 1, 4), inches(33, 5, 16)), "heights": (inches(47), inches(47, 1, 16))}
    return opening(label, **(PLACE | twice | row))


def topics(*rows: Opening, **job: Any) -> list[str]:
    return [finding.topic for finding in findings(*rows, **job)]


def test_a_row_entered_twice_names_the_first() -> None:
    (finding,) = findings(measured("W1", source="openings!2"), measured("W2"))
    assert (finding.opening, finding.field) == ("W2", "label")
    assert finding.seen == "W1 (openings!2) is the same window in place, readings and wishes."


def test_windows_of_another_room_or_order_are_no_repeat() -> None:
    assert topics(measured("W1"), measured("W2", room="bath"), measured("W3", order="17")) == []


def test_equal_windows_measured_once_are_common() -> None:
    assert topics(opening("W1", **PLACE), opening("W2", **PLACE)) == []


def test_a_label_that_differs_in_marks_alone() -> None:
    assert topics(opening("b-1"), opening("B 1")) == ["label"]


def test_a_note_that_speaks_of_a_finished_size_is_asked_about() -> None:
    (finding,) = findings(opening(note="Cut size, as last year"))
    assert (finding.topic, finding.kind, finding.proposal) == (
        "already deducted",
        SurveyKind.QUESTION,
        "finished size",
    )
    assert topics(opening(note="cut size", width_datum=Datum.FINISHED, height_datum=Datum.FINISHED)) == []


def test_a_note_that_speaks_of_glass() -> None:
    assert topics(opening(note="glass size only")) == ["glass size"]


def test_a_rows_own_saw_has_no_effect() -> None:
    (finding,) = findings(opening(rules=Rules(kerf=Ticks(0), bottoms_clearance=inches(0, 1, 16))))
    assert (finding.topic, finding.seen) == ("rule", "The row has its own kerf.")


def test_a_slot_too_narrow_or_far_too_wide_for_the_profile() -> None:
    assert topics(opening(slot_width=inches(0, 5, 16))) == ["slot"]
    assert topics(opening(slot_width=inches(0, 3, 8))) == []
    assert topics(opening(slot_width=inches(0, 3, 4))) == ["slot"]
    assert topics(opening(slot_width=inches(0, 1, 4), profile=None)) == ["slot"]


def test_a_channel_too_shallow_to_lift_a_screen_in() -> None:
    row: dict[str, Any] = {"height_datum": Datum.CHANNEL_LIPS, "mounting": Mounting.LEAVES, "height": inches(40)}
    assert topics(opening(channel_depth=inches(0, 1, 4), **row)) == ["depth"]
    assert topics(opening(channel_depth=inches(0, 5, 16), **row)) == []


def test_a_frame_over_the_size_its_profile_is_used_for() -> None:
    limited = profile(review_short=inches(30), review_long=inches(60))
    assert topics(opening(), profiles=(limited,)) == ["size"]


def test_a_blank_wider_than_every_roll() -> None:
    assert topics(opening(), rolls=(roll(width=inches(35)),)) == ["roll"]


def test_every_finding_has_a_cell_field_and_says_what_why_and_what_to_do() -> None:
    rows = (
        opening("a", slot_width=inches(0, 1, 4), width=inches(762), note="cut size"),
        opening("b", heights=(inches(30), inches(40)), diagonals=(inches(9), inches(10))),
    )
    found = survey(problem(*rows))
    assert len(found) > 4
    for finding in found:
        assert finding.field in Opening.__dataclass_fields__
        assert finding.seen.endswith(".")
        assert finding.why.endswith(".")
        assert finding.do.endswith(".")
        assert bool(finding.proposal) == (finding.kind is SurveyKind.QUESTION)


def test_a_mesh_that_may_turn_has_been_turned() -> None:
    stock: dict[str, Any] = {"meshes": (Mesh(name=MESH, turning=Turning.FREE),), "rolls": (roll(width=inches(35)),)}
    (finding,) = findings(opening(), **stock)
    assert finding.why == "No roll takes it, turned or not."


def test_a_shallow_channel_does_not_matter_to_a_clipped_screen() -> None:
    row: dict[str, Any] = {"height_datum": Datum.CHANNEL_LIPS, "mounting": Mounting.CLIPS, "height": inches(40)}
    assert topics(opening(channel_depth=inches(0, 1, 8), **row)) == []
