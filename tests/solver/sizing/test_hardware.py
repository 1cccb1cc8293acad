"""Hardware by mounting and the side it goes on: trade facts, section 1 (common practice, no source)."""

from typing import Any

import pytest

from solver.catalogue import Hardware
from solver.lengths import Ticks, inches
from solver.openings import Mounting, Side
from solver.plan import Need
from solver.rules import Rules
from solver.sizing import sized
from tests.builders import opening, problem, roll, stick

COMMON = {Hardware.CORNER, Hardware.BAR_CLIP, Hardware.SPLINE, Hardware.LABEL, Hardware.FALL_LABEL}


def held_by(mounting: Mounting, rules: Rules | None = None, **row: Any) -> dict[Hardware, Need]:
    job = problem(
        opening(mounting=mounting, **row),
        rules=rules,
        sticks=(stick(length=inches(144)),),
        rolls=(roll(width=inches(96)),),
    )
    return {each.hardware: each for each in sized(job).screens[0].needs if each.hardware not in COMMON}


def counts(needs: dict[Hardware, Need]) -> dict[Hardware, int]:
    return {hardware: each.amount for hardware, each in needs.items()}


@pytest.mark.parametrize("side", list(Side))
def test_springs_go_on_the_deepest_side_and_tabs_opposite(side: Side) -> None:
    needs = held_by(Mounting.SPRINGS, deepest_side=side)
    assert counts(needs) == {Hardware.SPRING: 2, Hardware.TAB: 2}
    assert needs[Hardware.SPRING].place.startswith(side.value)
    assert needs[Hardware.TAB].place.startswith(side.opposite.value)


def test_a_spring_side_over_48_gets_a_third_spring() -> None:
    at, over = inches(48, 1, 8), inches(48, 3, 16)
    assert held_by(Mounting.SPRINGS, width=at)[Hardware.SPRING].amount == 2
    assert held_by(Mounting.SPRINGS, width=over)[Hardware.SPRING].amount == 3
    assert held_by(Mounting.SPRINGS, width=over, deepest_side=Side.LEFT)[Hardware.SPRING].amount == 2


def test_leaf_springs_come_as_two_leaves_and_two_tabs() -> None:
    needs = held_by(Mounting.LEAVES, deepest_side=Side.RIGHT)
    assert counts(needs) == {Hardware.LEAF: 2, Hardware.TAB: 2}
    assert needs[Hardware.LEAF].place == "right side, the deepest channel"


@pytest.mark.parametrize(("pins", "place"), [(4, "left and right rail, 2 each"), (3, "left rail 2, right rail 1")])
def test_plunger_pins_as_many_as_the_rule_says(pins: int, place: str) -> None:
    needs = held_by(Mounting.PINS, Rules(pins=pins))
    assert counts(needs) == {Hardware.PIN: pins}
    assert needs[Hardware.PIN].place == f"{place}; record the hole positions"


@pytest.mark.parametrize(("width", "height", "clips"), [(36, 60, 10), (18, 18, 4), (20, 40, 6), (41, 41, 12)])
def test_a_face_clip_at_most_every_20_inches_and_at_least_four(width: int, height: int, clips: int) -> None:
    off = Rules(bottoms_clearance=Ticks(0))
    assert counts(held_by(Mounting.CLIPS, off, width=inches(width), height=inches(height))) == {
        Hardware.FACE_CLIP: clips
    }


def test_sliding_screens_take_four_rollers_latch_pull_and_a_seal_as_high_as_the_frame() -> None:
    assert counts(held_by(Mounting.SLIDING)) == {
        Hardware.ROLLER: 4,
        Hardware.LATCH: 1,
        Hardware.PULL: 1,
        Hardware.BUG_SEAL: inches(47, 1, 4),
    }


def test_a_magnetic_strip_runs_all_round_the_frame() -> None:
    assert counts(held_by(Mounting.MAGNETS)) == {Hardware.MAGNET: 2 * (inches(33, 1, 8) + inches(47, 1, 4))}


def test_no_more_clips_than_the_rule_asks_on_a_small_frame() -> None:
    needs = held_by(Mounting.CLIPS, Rules(least_clips=8), width=inches(18), height=inches(36))
    assert counts(needs) == {Hardware.FACE_CLIP: 8}
    assert needs[Hardware.FACE_CLIP].place == "top and bottom 1 each, left and right 3 each"


@pytest.mark.parametrize(
    ("mounting", "line"),
    [
        (Mounting.SPRINGS, "springs: top side 60 is over 48; 2 + 1 = 3"),
        (Mounting.CLIPS, "face clips: at most 20 apart, at least 4: 3 on 60, 2 on 30; 2 x (3 + 2) = 10"),
        (Mounting.SLIDING, "bug seal: frame height 30"),
        (Mounting.MAGNETS, "magnetic strip: 2 x (60 + 30) = 180"),
    ],
)
def test_hardware_that_depends_on_the_size_shows_its_arithmetic(mounting: Mounting, line: str) -> None:
    row = opening(mounting=mounting, width=inches(60), height=inches(30))
    job = problem(row, rules=Rules(bottoms_clearance=Ticks(0)), rolls=(roll(width=inches(96)),))
    assert sized(job).screens[0].arithmetic[-1] == line


def test_on_a_broad_frame_the_extra_clips_go_on_the_long_sides() -> None:
    needs = held_by(Mounting.CLIPS, Rules(least_clips=8), width=inches(36), height=inches(18))
    assert needs[Hardware.FACE_CLIP].place == "top and bottom 3 each, left and right 1 each"


def test_a_shop_may_do_without_tabs() -> None:
    assert counts(held_by(Mounting.SPRINGS, Rules(tabs=0))) == {Hardware.SPRING: 2}
