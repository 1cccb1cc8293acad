"""Money first; of plans that cost the same, the one that leaves more to be used again."""

from __future__ import annotations

import numpy as np

from solver.limits import Limits
from solver.rolls.crosscuts import CrosscutPricing
from solver.rolls.demand import Demand, ordered_demand
from solver.rolls.effort import Effort
from solver.rolls.filled import Filled, FilledRoll
from solver.rolls.model import Blank, RollNesting, RollWidth
from solver.rolls.tidying import useful_leftovers

# Four blanks of 3 x 4 on a roll 7 wide and 20 long: two side by side in two crosscuts, or one below the other in four.
BLANKS = (Blank(across=3, along=4, count=4),)


def _demand(*, useful_width: int = 0, useful_length: int = 0) -> Demand:
    rolls = (RollWidth(width=7, length=20, cost=9), RollWidth(width=7, length=16, cost=9))
    return ordered_demand(
        RollNesting(blanks=BLANKS, rolls=rolls, useful_width=useful_width, useful_length=useful_length)
    )


def _plan(demand: Demand, side_by_side: int) -> Filled:
    crosscut = CrosscutPricing(demand, Effort(Limits())).made(np.array([0]), np.array([side_by_side]))
    return (FilledRoll(offer=0, crosscuts=((crosscut, 4 // side_by_side),), copies=1),)


def test_a_roll_end_is_worth_more_than_side_strips() -> None:
    demand = _demand()
    assert useful_leftovers(demand, _plan(demand, 2)) > useful_leftovers(demand, _plan(demand, 1))


def test_a_strip_narrower_than_the_shop_keeps_is_worth_nothing() -> None:
    # One blank of 3 on 7 leaves a strip of 4.
    kept, thrown = _demand(useful_width=4), _demand(useful_width=5)
    assert useful_leftovers(kept, _plan(kept, 1))[0] > useful_leftovers(thrown, _plan(thrown, 1))[0]


def test_an_end_shorter_than_the_shop_keeps_is_worth_nothing() -> None:
    # Two crosscuts of 4 leave 12 of 20.
    kept, thrown = _demand(useful_length=12), _demand(useful_length=13)
    assert useful_leftovers(kept, _plan(kept, 2))[0] > 0 == useful_leftovers(thrown, _plan(thrown, 2))[0]
