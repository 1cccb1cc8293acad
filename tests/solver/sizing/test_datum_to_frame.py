"""From a reading to a frame side: trade facts, section 1 (common practice, no source) and check values."""

from typing import Any

import pytest

from solver.errors import ProblemError
from solver.lengths import Ticks, Unit, inches, mm
from solver.openings import Counts, Datum
from solver.plan import Screen
from solver.rules import Rules
from solver.sizing import sized
from tests.builders import opening, problem, roll

THREE = (inches(30), inches(30, 1, 8), inches(29, 15, 16))


def frame_width(datum: Datum, *readings: Ticks, rules: Rules | None = None) -> Ticks:
    row = opening(widths=readings, width_datum=datum, heights=(inches(30),), rules=rules)
    return sized(problem(row, rolls=(roll(width=inches(72)),))).screens[0].frame_width


def screen(**row: Any) -> Screen:
    return sized(problem(opening(**row))).screens[0]


@pytest.mark.parametrize(
    ("datum", "reading", "frame"),
    [
        (Datum.CHANNEL_BOTTOMS, inches(47, 3, 8), inches(47, 1, 4)),
        (Datum.CHANNEL_LIPS, inches(27, 1, 2), inches(27, 3, 4)),
        (Datum.DEEP_CHANNEL, inches(40), inches(39, 7, 8)),
        (Datum.FACE, inches(30), inches(30, 3, 4)),
        (Datum.STOPS, inches(30), inches(29, 7, 8)),
        (Datum.OLD_SCREEN, inches(30, 5, 64), inches(30, 5, 64)),
        (Datum.FINISHED, inches(30, 5, 64), inches(30, 5, 64)),
    ],
)
def test_each_datum_has_its_own_clearance_or_overlap(datum: Datum, reading: Ticks, frame: Ticks) -> None:
    assert frame_width(datum, reading) == frame


@pytest.mark.parametrize("datum", list(Datum))
def test_width_and_height_go_by_the_same_rule_each_by_its_own_datum(datum: Datum) -> None:
    wide = screen(widths=(inches(33),), width_datum=datum, heights=(inches(40),), height_datum=Datum.FINISHED)
    high = screen(widths=(inches(40),), width_datum=Datum.FINISHED, heights=(inches(33),), height_datum=datum)
    assert (wide.frame_width, wide.frame_height) == (high.frame_height, high.frame_width)


def test_smallest_reading_counts_in_a_channel_and_between_stops() -> None:
    for datum in (Datum.CHANNEL_BOTTOMS, Datum.CHANNEL_LIPS, Datum.DEEP_CHANNEL, Datum.STOPS):
        assert datum.counts is Counts.SMALLEST
        assert frame_width(datum, *THREE) == frame_width(datum, inches(29, 15, 16))


def test_largest_reading_counts_on_a_face() -> None:
    assert frame_width(Datum.FACE, *THREE) == frame_width(Datum.FACE, inches(30, 1, 8))


def test_finished_size_must_be_one_number() -> None:
    with pytest.raises(ProblemError) as caught:
        frame_width(Datum.FINISHED, *THREE)
    assert str(caught.value) == (
        "A-101: a finished width is one number, here are 30, 30 1/8, 29 15/16; write the one wanted"
    )


def test_old_screen_is_copied_and_of_several_readings_the_smallest_goes_in() -> None:
    assert frame_width(Datum.OLD_SCREEN, *THREE) == inches(29, 15, 16)


def test_in_channel_frames_round_down_to_the_tape_step() -> None:
    # 900 mm = 35.433 in less 1/8: 35.308, floor to 1/16: 35 5/16 would be over it, so 35 1/4 (check value 9).
    assert frame_width(Datum.CHANNEL_BOTTOMS, mm(900)) == inches(35, 1, 4)
    assert frame_width(Datum.CHANNEL_BOTTOMS, mm(900), rules=Rules(bottoms_clearance=Ticks(0))) == inches(35, 3, 8)


def test_face_frames_round_up_to_the_tape_step() -> None:
    assert frame_width(Datum.FACE, mm(900), rules=Rules(face_overlap=Ticks(0))) == inches(35, 7, 16)


def test_finished_sizes_are_neither_rounded_nor_deducted_again() -> None:
    assert frame_width(Datum.FINISHED, mm("900.3")) == mm("900.3")


def test_a_metric_shop_rounds_to_its_millimetre() -> None:
    rules = Rules(size_step=mm(1), bottoms_clearance=mm(3))
    assert frame_width(Datum.CHANNEL_BOTTOMS, mm("900.7"), rules=rules) == mm(897)


def test_a_row_may_have_its_own_clearance() -> None:
    rows = (opening("tight", rules=Rules(bottoms_clearance=inches(0, 1, 16))), opening("usual"))
    tight, usual = sized(problem(*rows)).screens
    assert tight.frame_width - usual.frame_width == inches(0, 1, 16)


def test_arithmetic_reads_like_a_shop_writes_it() -> None:
    assert screen().arithmetic[:2] == (
        "width: 33 1/4 - 1/8 clearance = 33 1/8; - 2 x 3/4 corners = 31 5/8",
        "height: 47 3/8 - 1/8 clearance = 47 1/4; - 2 x 3/4 corners = 45 3/4",
    )


def test_arithmetic_says_which_reading_counts_and_what_was_rounded() -> None:
    line = screen(widths=(mm(900), mm(901))).arithmetic[0]
    assert line == (
        "width: smallest of ~35 7/16 (900 mm), ~35 15/32 (901 mm): ~35 7/16 (900 mm) - 1/8 clearance = "
        "~35 5/16 (896.825 mm); down to a full 1/16 = 35 1/4; - 2 x 3/4 corners = 33 3/4"
    )


def test_a_metric_job_is_worked_in_millimetres() -> None:
    row = opening(widths=(mm(850),), width_datum=Datum.FINISHED)
    line = sized(problem(row, unit=Unit.MM)).screens[0].arithmetic[0]
    assert line == "width: 850 finished size, nothing taken off; - 2 x 19.05 corners = 811.9"
