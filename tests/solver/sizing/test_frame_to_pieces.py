"""From a frame to rails, cross bars, mesh blank and spline: trade facts, sections 1, 2 and 6 [D]."""

from fractions import Fraction
from typing import Any

import pytest

from solver.catalogue import Corner, Hardware, SplineChoice
from solver.lengths import Ticks, inches, mm
from solver.openings import Datum, Opening
from solver.plan import Place, Screen
from solver.rules import BarAxis, Rules
from solver.sizing import sized
from tests.builders import MESH, PROFILE, opening, problem, profile, roll, stick

LONG: dict[str, Any] = {"sticks": (stick(length=inches(288)),), "rolls": (roll(width=inches(120)),)}


def finished(width: Ticks, height: Ticks, **other: Any) -> Opening:
    done: dict[str, Any] = {"width_datum": Datum.FINISHED, "height_datum": Datum.FINISHED}
    return opening(width=width, height=height, **(done | other))


def screen(row: Opening, rules: Rules | None = None, **stock: Any) -> Screen:
    return sized(problem(row, rules=rules, **(LONG | stock))).screens[0]


def rail(made: Screen, place: Place) -> Ticks:
    return next(each.length for each in made.rails if each.place is place)


def amount(made: Screen, hardware: Hardware) -> int:
    return sum(each.amount for each in made.needs if each.hardware is hardware)


def test_channel_of_33_1_4_with_usual_clearance_and_corners_gives_31_5_8_rails() -> None:
    # Common practice, no source.
    assert rail(screen(opening(width=inches(33, 1, 4))), Place.TOP) == inches(31, 5, 8)


def test_square_cut_rails_are_shorter_by_two_corner_legs() -> None:
    made = screen(opening(height=inches(47, 3, 8)))
    assert rail(made, Place.LEFT) == rail(made, Place.RIGHT) == inches(45, 3, 4)


def test_mitred_rails_are_as_long_as_the_frame() -> None:
    made = screen(opening(height=inches(47, 3, 8)), profiles=(profile(corner=Corner.MITRED),))
    assert rail(made, Place.LEFT) == inches(47, 1, 4)
    assert made.arithmetic[1].endswith("mitred rails 47 1/4, long point to long point")


@pytest.mark.parametrize(("leg", "expected"), [("19", "809"), ("19.05", "808.9")])
def test_the_corner_leg_of_the_profile_changes_every_rail(leg: str, expected: str) -> None:
    made = screen(finished(mm(847), mm(600)), profiles=(profile(corner_leg=mm(leg)),))
    assert rail(made, Place.TOP) == mm(expected)


def test_frame_32_5_8_by_41_1_4_fits_one_144_inch_stick() -> None:
    made = screen(finished(inches(32, 5, 8), inches(41, 1, 4)))
    lengths = [each.length for each in made.rails]
    assert sorted(lengths) == [inches(31, 1, 8)] * 2 + [inches(39, 3, 4)] * 2
    assert sum(lengths) + 3 * inches(0, 1, 8) == inches(142, 1, 8)


def test_cross_bar_of_a_48_inch_side_is_46_1_2() -> None:
    made = screen(finished(inches(48), inches(60)))
    assert [each.length for each in made.rails if each.place is Place.BAR] == [inches(46, 1, 2)]
    assert amount(made, Hardware.BAR_CLIP) == 2


def test_a_side_of_exactly_48_gets_no_cross_bar() -> None:
    assert Place.BAR not in {each.place for each in screen(finished(inches(48), inches(48))).rails}


def test_the_bar_lies_across_the_long_rails_whichever_they_are() -> None:
    tall, broad = screen(finished(inches(30), inches(60))), screen(finished(inches(60), inches(30)))
    assert rail(tall, Place.BAR) == rail(broad, Place.BAR) == inches(28, 1, 2)


@pytest.mark.parametrize(("axis", "length"), [(BarAxis.LEVEL, inches(58, 1, 2)), (BarAxis.UPRIGHT, inches(28, 1, 2))])
def test_a_shop_may_say_which_way_the_bar_lies(axis: BarAxis, length: Ticks) -> None:
    assert rail(screen(finished(inches(60), inches(30)), Rules(bar_axis=axis)), Place.BAR) == length


@pytest.mark.parametrize(("height", "bars"), [(120, 1), (121, 2), (180, 2), (181, 3)])
def test_very_tall_frames_get_more_bars(height: int, bars: int) -> None:
    made = screen(finished(inches(40), inches(height)))
    assert sum(each.place is Place.BAR for each in made.rails) == bars
    assert amount(made, Hardware.BAR_CLIP) == 2 * bars


def test_a_shop_may_keep_to_one_bar() -> None:
    made = screen(finished(inches(40), inches(181)), Rules(bar_span=Ticks(0)))
    assert sum(each.place is Place.BAR for each in made.rails) == 1


def test_the_blank_reaches_one_inch_beyond_the_frame_on_each_side() -> None:
    made = screen(finished(inches(32, 5, 8), inches(41, 1, 4)))
    assert (made.blank_width, made.blank_height) == (inches(34, 5, 8), inches(43, 1, 4))


def test_spline_of_120_screens_is_1551_375_feet() -> None:
    # 2 (W + H) x 1.05, common practice without source; [D] check value 7.
    made = screen(finished(inches(32, 5, 8), inches(41, 1, 4)))
    each = amount(made, Hardware.SPLINE)
    exact = Fraction(1_551_375, 1_000) * inches(12) / 120
    assert exact <= each < exact + 1


def test_spline_is_chosen_by_profile_and_mesh_the_closest_choice_first() -> None:
    splines = (
        SplineChoice(spline="any"),
        SplineChoice(spline="by mesh", mesh=MESH),
        SplineChoice(spline="by profile", profile=PROFILE),
        SplineChoice(spline="by both", profile=PROFILE, mesh=MESH),
    )
    for first in range(4):
        made = screen(opening(), splines=splines[: first + 1])
        assert next(each.fits for each in made.needs if each.hardware is Hardware.SPLINE) == splines[first].spline


def test_four_corners_of_the_profile_and_two_labels_to_a_screen() -> None:
    made = screen(opening())
    corners = next(each for each in made.needs if each.hardware is Hardware.CORNER)
    assert (corners.amount, corners.fits) == (4, PROFILE)
    assert amount(made, Hardware.LABEL) == amount(made, Hardware.FALL_LABEL) == 1
