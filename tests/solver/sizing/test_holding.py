"""What stops an opening: corners, sticks, rolls, readings; each fault says what would make it possible."""

from typing import Any

import pytest

from solver.catalogue import Mesh, SplineChoice
from solver.errors import ProblemError
from solver.lengths import Ticks, inches
from solver.openings import Datum
from solver.problem import Problem
from solver.rules import Rules, Turning
from solver.sizing import sized
from tests.builders import MESH, opening, problem, roll, stick
from tests.solver.sizing.row_notices import row_notices


def message(job: Problem) -> str:
    with pytest.raises(ProblemError) as caught:
        sized(job)
    return str(caught.value)


def test_a_frame_too_small_for_its_corners() -> None:
    job = problem(opening(width=inches(1, 5, 8), cells=(("widths", "openings!C7"),)))
    assert message(job) == (
        "openings!C7: A-101: the frame width comes to 1 1/2 (1 5/8 - 1/8 clearance = 1 1/2) and profile 5/16 needs "
        "over 1 1/2 for its corners; measure the width again and write it with its unit"
    )


def test_a_reading_smaller_than_its_clearance() -> None:
    assert message(problem(opening(width=inches(0, 1, 8)))).startswith("A-101: nothing is left of the width")


def test_a_rail_longer_than_every_stick_says_which_stick_would_do() -> None:
    # Frame 98, rail 96 1/2, stick 96 with 1/4 trim at either end.
    job = problem(opening(height=inches(98), height_datum=Datum.FINISHED))
    assert message(job) == (
        "A-101: the height rail of 96 1/2 is longer than every stick of 5/16 in white: the longest, 8 ft, gives "
        "95 1/2 of its 96 after trimming; a stick of 97 would do"
    )


def test_a_rail_may_just_fit_between_the_trims() -> None:
    job = problem(opening(height=inches(97), height_datum=Datum.FINISHED))
    assert sized(job).screens[0].rails[2].length == inches(95, 1, 2)


def test_a_leftover_has_one_clean_end_and_gives_a_trim_more() -> None:
    leftover = stick("rest", on_sale=False, on_hand=1, leftover=True)
    job = problem(opening(height=inches(97, 1, 4), height_datum=Datum.FINISHED), sticks=(leftover,))
    assert sized(job).screens[0].rails[2].length == inches(95, 3, 4)


def test_a_blank_wider_than_every_roll_says_which_roll_would_do() -> None:
    # Frame 50 x 60: blank 52 x 62, and the 48 in roll gives 47 1/2.
    job = problem(opening(width=inches(50), width_datum=Datum.FINISHED, height=inches(60)))
    assert message(job) == (
        "A-101: the mesh blank of 52 x 61 7/8 fits no roll of glass 18x16, and this mesh must not be turned: the "
        "widest, 48 in x 100 ft, gives 47 1/2 of its 48 between the selvages; a roll 52 1/2 wide with 61 7/8 on it "
        "would do"
    )


def test_turning_may_save_a_wide_blank() -> None:
    wide = opening(width=inches(60), height=inches(40))
    stock: dict[str, Any] = {"sticks": (stick(),), "meshes": (Mesh(name=MESH, turning=Turning.FREE),)}
    assert sized(problem(wide, **stock)).screens[0].blank_width == inches(61, 7, 8)
    assert "must not be turned" in message(problem(wide))
    both = opening(width=inches(60), height=inches(70))
    assert "turned or not" in message(problem(both, **stock))


def test_a_part_roll_too_short_for_the_blank_does_not_hold_it() -> None:
    assert "fits no roll" in message(problem(rolls=(roll(length=inches(49)),)))
    assert sized(problem(rolls=(roll(length=inches(49, 1, 4)),)))


def test_the_table_may_be_shorter_than_the_blank() -> None:
    rules = Rules(longest_crosscut=inches(40))
    assert "the table takes crosscuts of 40;" in message(problem(rules=rules))


def test_running_length_has_no_end() -> None:
    assert sized(problem(rolls=(roll(length=None, step=inches(12)),)))


def test_a_spline_must_be_chosen_where_splines_are_listed() -> None:
    job = problem(splines=(SplineChoice(spline="0.175", mesh="steel"),))
    assert message(job) == ("A-101: no spline is chosen for mesh glass 18x16 in profile 5/16; add it to the splines")


def test_without_any_spline_list_the_plan_says_to_try_a_piece() -> None:
    assert [notice.topic for notice in row_notices(problem(splines=()))] == ["spline"]


def test_readings_over_half_an_inch_apart_stop_the_row() -> None:
    job = problem(opening(widths=(inches(30), inches(30, 9, 16))))
    assert message(job) == (
        "A-101: the width readings 30, 30 9/16 differ by 9/16, more than 1/2; measure again, or, if the opening is "
        "that crooked, give this row its own spread_limit"
    )


def test_a_crooked_opening_may_have_its_own_limit() -> None:
    row = opening(widths=(inches(30), inches(30, 9, 16)), rules=Rules(spread_limit=inches(1)))
    assert [notice.topic for notice in row_notices(problem(row))] == ["spread"]


@pytest.mark.parametrize(("over", "topics"), [(Ticks(0), []), (inches(0, 1, 64), ["spread"])])
def test_readings_over_a_quarter_apart_are_said(over: Ticks, topics: list[str]) -> None:
    row = opening(heights=(inches(40), Ticks(inches(40, 1, 4) + over)))
    assert [notice.topic for notice in row_notices(problem(row))] == topics
