"""How many blanks a roll gives: the check values of the trade, [D] arithmetic on common practice, no source."""

import pytest

from solver.errors import ProblemError
from solver.lengths import Ticks, inches, mm
from solver.limits import Ending, Limits
from solver.rolls import by_hand, nest
from solver.rolls.model import Blank, RollNesting, RollWidth
from tests.speed.roll_recount import faults


def make_problem(*, width: Ticks, count: int, turns: bool = False, **rules: int) -> RollNesting:
    blank = Blank(across=inches(34, 5, 8), along=inches(43, 1, 4), count=count, turns=turns)
    roll = RollWidth(width=width, length=inches(1_200), cost=100)
    return RollNesting(blanks=(blank,), rolls=(roll,), **rules)


def rolls_needed(problem: RollNesting) -> int:
    plan = nest(problem, Limits())
    assert faults(problem, plan) == []
    assert plan.ending is Ending.PROVEN
    return plan.cost // 100


@pytest.mark.parametrize(
    ("width", "turns", "blanks_a_roll"),
    [(36, False, 27), (48, False, 27), (48, True, 34), (72, False, 54), (96, False, 54), (96, True, 68)],
)
def test_a_hundred_foot_roll_gives_this_many_blanks(width: int, turns: bool, blanks_a_roll: int) -> None:
    problem = make_problem(width=inches(width), count=blanks_a_roll, turns=turns)
    one_more = make_problem(width=inches(width), count=blanks_a_roll + 1, turns=turns)
    assert rolls_needed(problem) == 1
    assert rolls_needed(one_more) == 2


def test_the_extra_of_every_crosscut_is_lost_on_the_roll() -> None:
    # 27 x 43 1/4 = 1,167 3/4; the 32 1/4 over carry 27 extras of 1 3/16 (32 1/16) but not of 1 1/4 (33 3/4).
    assert rolls_needed(make_problem(width=inches(36), count=27, crosscut_extra=inches(1, 3, 16))) == 1
    assert rolls_needed(make_problem(width=inches(36), count=27, crosscut_extra=inches(1, 1, 4))) == 2


def test_running_length_is_paid_by_the_started_step() -> None:
    blank = Blank(across=inches(36), along=inches(50), count=3)
    roll = RollWidth(width=inches(36), length=None, cost=80, step=inches(12))
    assert nest(RollNesting(blanks=(blank,), rolls=(roll,)), Limits()).cost == 13 * 80  # 150 in are 12 1/2 ft


def test_a_part_roll_on_hand_is_used_before_one_is_bought() -> None:
    blank = Blank(across=inches(36), along=inches(50), count=3)
    rack = RollWidth(width=inches(36), length=inches(110), cost=0, limit=1)
    sold = RollWidth(width=inches(36), length=inches(300), cost=4_000, limit=None)
    plan = nest(RollNesting(blanks=(blank,), rolls=(sold, rack)), Limits())
    assert plan.cost == 4_000
    long_rack = RollWidth(width=inches(36), length=inches(150), cost=0, limit=1)
    assert nest(RollNesting(blanks=(blank,), rolls=(sold, long_rack)), Limits()).cost == 0


def test_a_blank_too_long_for_the_table_is_turned() -> None:
    problem = make_problem(width=inches(48), count=2, turns=True, longest_crosscut=inches(40))
    plan = nest(problem, Limits())
    assert [crosscut.length for crosscut in plan.rolls[0].crosscuts] == [inches(34, 5, 8)]
    assert plan.rolls[0].crosscuts[0].copies == 2


def test_inch_and_metric_blanks_share_a_roll_to_the_tick() -> None:
    # 914.4 mm is 36 in, so 36 in + 914.4 mm fill 72 in exactly; one tick less does not hold both.
    blanks = (
        Blank(across=inches(36), along=mm(1_000), count=1),
        Blank(across=mm("914.4"), along=mm("999.9"), count=1),
    )
    for width, length in ((inches(72), mm(1_000)), (inches(72) - 1, mm("1999.9"))):
        roll = RollWidth(width=width, length=None, cost=1)
        assert nest(RollNesting(blanks=blanks, rolls=(roll,)), Limits()).cost == length


def test_rolls_that_do_not_suffice_are_a_fault() -> None:
    blank = Blank(across=inches(36), along=inches(50), count=3)
    rolls = (RollWidth(width=inches(36), length=inches(149), cost=900, limit=1),)
    with pytest.raises(ProblemError) as caught:
        nest(RollNesting(blanks=(blank,), rolls=rolls), Limits())
    assert str(caught.value) == (
        "the rolls that may be used do not suffice for all mesh blanks; raise a limit or add a roll"
    )


def test_a_blank_wider_than_every_roll_is_named() -> None:
    blank = Blank(across=mm(1_300), along=mm(1_500), count=3, turns=True)
    roll = RollWidth(width=mm(1_200), length=mm(30_000), cost=900)
    with pytest.raises(ProblemError) as caught:
        nest(RollNesting(blanks=(blank,), rolls=(roll,)), Limits())
    assert str(caught.value) == (
        "mesh blank 1300 mm across by 1500 mm along fits no roll either way round (widest usable 1200 mm); "
        "add a wider or longer roll"
    )
    assert by_hand(RollNesting(blanks=(blank,), rolls=(roll,))) is None


def test_by_hand_is_shelves_on_the_best_single_width() -> None:
    blanks = (Blank(across=30, along=50, count=2), Blank(across=10, along=40, count=2))
    narrow = RollWidth(width=40, length=None, cost=3)
    wide = RollWidth(width=80, length=None, cost=5)
    # 40 wide: two crosscuts of 50 at 3; 80 wide: one crosscut of 50 holds 30 + 30 + 10 + 10 at 5.
    assert by_hand(RollNesting(blanks=blanks, rolls=(narrow, wide))) == 250
    assert by_hand(RollNesting(blanks=blanks, rolls=(narrow,))) == 300


def test_what_is_left_of_the_rolls_is_left_on_one_of_them() -> None:
    # Nine crosscuts of 30 on two rolls of 200: six and three leave 20 and 110, five and four would leave 50 and 80.
    blank = Blank(across=inches(36), along=inches(30), count=9)
    roll = RollWidth(width=inches(36), length=inches(200), cost=4_000)
    plan = nest(RollNesting(blanks=(blank,), rolls=(roll,)), Limits())
    copies = [sum(crosscut.copies for crosscut in cut.crosscuts) for cut in plan.rolls for _ in range(cut.copies)]
    assert sorted(copies) == [3, 6]
