"""Spread, the odd one out, diagonals: trade facts, section 4 (common practice; racking [D])."""

import pytest

from solver.lengths import Ticks, Unit, inches, mm
from solver.openings import Opening
from solver.survey import SurveyKind
from tests.builders import opening
from tests.solver.survey.surveys import findings


def test_a_clean_opening_is_not_remarked_upon() -> None:
    row = opening(widths=(inches(33, 1, 4), inches(33, 5, 16)), diagonals=(inches(57, 7, 8), inches(57, 15, 16)))
    assert findings(row) == []


def test_readings_over_a_quarter_apart_are_a_notice() -> None:
    (finding,) = findings(opening(widths=(inches(33), inches(33, 5, 16))))
    assert (finding.topic, finding.field, finding.kind) == ("spread", "widths", SurveyKind.NOTICE)
    assert finding.message == (
        "The width readings 33, 33 5/16 differ by 5/16. More than 1/4 between readings is a bowed channel or a slip. "
        "Look at the channel, and measure again if it is straight."
    )


def test_of_three_readings_the_one_that_cannot_be_right_is_named() -> None:
    (finding,) = findings(opening(heights=(inches(40), inches(44), inches(40, 1, 8))))
    assert (finding.topic, finding.reading, finding.proposal) == ("readings", 1, "")
    assert finding.do == "Measure reading 2 again."


def test_the_odd_reading_in_another_unit_comes_with_a_proposal() -> None:
    (finding,) = findings(opening(heights=(inches(40), inches(1016), inches(40, 1, 8))))
    assert (finding.kind, finding.reading, finding.proposal) == (SurveyKind.QUESTION, 1, "1016 mm")


def test_of_two_readings_neither_is_called_the_wrong_one() -> None:
    (finding,) = findings(opening(heights=(inches(40), inches(44))))
    assert (finding.kind, finding.reading) == (SurveyKind.NOTICE, None)


@pytest.mark.parametrize(("racked", "difference"), [("1/4", Ticks(2_089)), ("1/8", Ticks(1_048))])
def test_diagonals_tell_how_far_an_opening_is_racked(racked: str, difference: Ticks) -> None:
    # 36 x 60 racked 1/4: diagonals differ 0.257 in; racked 1/8: 0.129 ([D], check value 11).
    long = Ticks(inches(69, 31, 32) + difference // 2)
    row = opening(width=inches(36), height=inches(60), diagonals=(Ticks(long - difference), long))
    finding = next(each for each in findings(row) if each.topic == "square")
    assert f"racked by about {racked}:" in finding.why


def test_diagonals_that_fit_no_such_rectangle_are_said() -> None:
    (finding,) = findings(opening(diagonals=(inches(62), inches(62))))
    assert finding.topic == "diagonals"
    assert finding.seen == "The diagonals read 62 and 62; 33 1/4 x 47 3/8 has about 57 7/8."


@pytest.mark.parametrize(
    ("row", "proposal"),
    [
        (opening(width=inches(762), height=inches(40)), "762 mm"),
        (opening(width=Ticks(inches(762) // 10), height=inches(40)), ""),
        (opening(width=mm("33.25"), height=inches(40)), "33 1/4 in"),
        (opening(width=mm(300), height=inches(40)), ""),
    ],
)
def test_a_side_no_window_has_is_asked_about_in_the_unit_that_would_make_one(row: Opening, proposal: str) -> None:
    assert [finding.proposal for finding in findings(row) if finding.topic == "unit"] == [proposal] * bool(proposal)


def test_where_two_units_would_make_a_window_both_are_named_and_none_is_proposed() -> None:
    (finding,) = [each for each in findings(opening(width=mm(30), height=inches(40))) if each.topic == "unit"]
    assert (finding.kind, finding.do) == (SurveyKind.NOTICE, "Write 30 in or 30 cm.")


def test_both_sides_may_have_slipped_by_one_factor() -> None:
    found = [each for each in findings(opening(width=inches(762), height=inches(1016))) if each.topic == "unit"]
    assert [(each.field, each.proposal) for each in found] == [("widths", "762 mm"), ("heights", "1016 mm")]


def test_a_metric_job_slips_the_other_way() -> None:
    row = opening(width=mm("33.25"), height=mm(1_000))
    found = [each for each in findings(row, unit=Unit.MM) if each.topic == "unit"]
    assert [each.proposal for each in found] == ["33 1/4 in"]


@pytest.mark.parametrize(
    ("width", "height", "said"),
    [
        (inches(8), inches(40), False),
        (inches(7, 15, 16), inches(36), True),
        (inches(96), inches(60), False),
        (inches(30), inches(96, 1, 16), True),
        (inches(10), inches(50, 1, 16), True),
        (inches(77), inches(75), True),
    ],
)
def test_unusual_sides_shapes_and_areas_are_said_not_stopped(width: Ticks, height: Ticks, said: bool) -> None:
    # 8 to 96 in, up to 5 to 1, up to 40 sq ft: common practice, no source.
    unusual = [each for each in findings(opening(width=width, height=height)) if each.topic == "unusual"]
    assert bool(unusual) == said
    assert {each.kind for each in unusual} <= {SurveyKind.NOTICE}
