"""Openings of one type or one stack check each other: trade facts, section 4 (common practice, no source)."""

from typing import Any

import pytest

from solver.lengths import Ticks, Unit, inches, mm
from solver.openings import Datum, Opening
from solver.survey import SurveyKind
from tests.builders import opening
from tests.solver.survey.surveys import alike, findings, of

WIDE, HIGH = inches(33, 1, 4), inches(47, 3, 8)


def odd(width: Ticks = WIDE, height: Ticks = HIGH, **row: Any) -> Opening:
    return opening("odd", width=width, height=height, **({"window_type": "A"} | row))


def topics(row: Opening, peers: int = 4) -> list[tuple[str, str]]:
    return [(each.topic, each.field) for each in of("odd", *alike(peers), row)]


def test_a_type_of_one_size_says_nothing() -> None:
    assert findings(*alike(5), odd(width=Ticks(WIDE + inches(0, 1, 2)))) == []


def test_over_half_an_inch_from_the_usual_size_is_said() -> None:
    (finding,) = of("odd", *alike(4), odd(width=inches(33, 13, 16)))
    assert (finding.topic, finding.field, finding.kind) == ("differs", "widths", SurveyKind.NOTICE)
    assert finding.message == (
        "The width reads 33 13/16, and the 5 of type A usually measure 33 1/4. It differs by 9/16. "
        "Measure again before cutting."
    )


def test_a_whole_inch_off_suggests_a_misread_figure() -> None:
    (finding,) = of("odd", *alike(4), odd(height=inches(48, 3, 8)))
    assert finding.why == "It differs by 1, about one figure of the tape: a misread or mistyped figure."


def test_one_window_is_no_type() -> None:
    assert topics(odd(width=inches(40)), peers=1) == []


def test_swapped_width_and_height_come_with_both_proposals() -> None:
    found = of("odd", *alike(4), odd(width=HIGH, height=WIDE))
    asked = [(each.field, each.kind, each.proposal) for each in found if each.topic == "swapped"]
    assert asked == [
        ("widths", SurveyKind.QUESTION, "33 1/4 in"),
        ("heights", SurveyKind.QUESTION, "47 3/8 in"),
    ]


def test_an_inch_number_meant_in_centimetres_is_asked_with_its_unit() -> None:
    # 84.5 cm = 33.27 in, read as 84 1/2 in.
    (finding,) = [each for each in of("odd", *alike(4), odd(width=inches(84, 1, 2))) if each.topic == "unit"]
    assert (finding.field, finding.proposal) == ("widths", "84.5 cm")


def test_both_sides_smaller_by_inches_look_like_glass() -> None:
    assert topics(odd(width=inches(30), height=inches(44))) == [("glass size", "widths")]


def test_just_the_clearance_under_a_steady_type_looks_deducted_already() -> None:
    assert topics(odd(width=inches(33, 1, 8), height=inches(47, 1, 4))) == [("already deducted", "widths")]
    assert topics(odd(width=inches(33, 1, 8))) == []


def test_a_type_that_varies_anyway_says_nothing_about_a_clearance() -> None:
    rows = [opening(f"W{each}", width=Ticks(WIDE + each * 508), window_type="A") for each in range(5)]
    assert findings(*rows, odd(width=inches(33, 1, 8), height=inches(47, 1, 4))) == []


def test_a_type_without_a_usual_size_checks_nobody() -> None:
    rows = [opening(f"W{each}", width=inches(20 + 3 * each), window_type="A") for each in range(6)]
    assert findings(*rows) == []


def test_readings_from_different_datums_are_not_compared() -> None:
    lying = odd(width=inches(34), width_datum=Datum.FACE)
    assert topics(lying) == []


def test_a_wide_scatter_widens_the_allowance() -> None:
    # Modified z-score over 3.5, Iglewicz and Hoaglin (1993): MAD 1/4 in allows 3.5 x 1.4826 x 1/4 = 1.297 in.
    widths = [inches(33), inches(33, 1, 4), inches(33, 1, 2), inches(33, 3, 4), inches(34)]
    rows = [opening(f"W{number}", width=width, window_type="A") for number, width in enumerate(widths)]
    assert [each for each in findings(*rows, odd(width=inches(34, 3, 4))) if each.opening == "odd"] == []
    assert [each.opening for each in findings(*rows, odd(width=inches(35)))] == ["odd"]


def stack(unit: str, floor: str, width: Ticks = WIDE, room: str = "kitchen", **row: Any) -> Opening:
    return opening(f"{unit}-{room}", width=width, building="B1", floor=floor, unit=unit, room=room, **row)


def test_the_same_window_on_other_floors_checks_an_opening() -> None:
    rows = [stack(f"{floor}04", str(floor)) for floor in range(1, 6)]
    (finding,) = findings(*rows, stack("604", "6", width=inches(35)))
    assert (finding.opening, finding.topic) == ("604-kitchen", "differs")
    assert "the 6 of stack B1 x04 kitchen usually measure 33 1/4" in finding.seen


@pytest.mark.parametrize(
    "other",
    [stack("605", "6", width=inches(40)), stack("604", "6", width=inches(40), room="bath")],
    ids=["another line", "another room"],
)
def test_other_lines_and_rooms_are_another_stack(other: Opening) -> None:
    assert findings(*[stack(f"{floor}04", str(floor)) for floor in range(1, 6)], other) == []


def test_several_windows_of_a_room_are_told_apart_by_what_is_left_of_their_labels() -> None:
    rows = [
        opening(f"{floor}04-bed-{window}", width=inches(width), floor=str(floor), unit=f"{floor}04", room="bed")
        for floor in range(1, 6)
        for window, width in (("N", 30), ("S", 40))
    ]
    wrong = [
        opening("604-bed-N", width=inches(40), floor="6", unit="604", room="bed"),
        opening("604-bed-S", width=inches(40), floor="6", unit="604", room="bed"),
    ]
    assert [each.opening for each in findings(*rows, *wrong)] == ["604-bed-N"]


def test_the_type_a_row_names_goes_before_its_stack() -> None:
    rows = [stack(f"{floor}04", str(floor)) for floor in range(1, 6)]
    small = [opening(f"S{each}", width=inches(35), window_type="small") for each in range(4)]
    assert findings(*rows, *small, stack("604", "6", width=inches(35), window_type="small")) == []


def test_a_job_in_millimetres_names_its_own_figures_of_the_tape() -> None:
    rows = [opening(f"W{each}", width=mm(850), window_type="A") for each in range(4)]
    (finding,) = of("odd", *rows, odd(width=mm(950)), unit=Unit.MM)
    assert finding.why.startswith("It differs by 100, about one figure of the tape")


def test_of_several_readings_only_those_that_differ_are_named() -> None:
    found = of("odd", *alike(4), opening("odd", widths=(inches(35), WIDE, inches(31)), window_type="A"))
    assert [(each.topic, each.reading) for each in found] == [("differs", 0), ("differs", 2)]
