"""Three stages: blanks follow each other in strips, and the bound holds for whatever way of cutting."""

from random import Random

import pytest

from solver.limits import Limits
from solver.rolls import nest
from solver.rolls.bounds import least_cost
from solver.rolls.crosscuts import CrosscutPricing
from solver.rolls.demand import ordered_demand
from solver.rolls.effort import Effort
from solver.rolls.model import Blank, RollNesting, RollWidth
from solver.rolls.slices import SliceMaster
from tests.solver.rolls.free_packing import least_cost_uncut
from tests.speed.roll_recount import faults

ROLL = RollWidth(width=48, length=None, cost=1)


def two_strips(longest: int = 0) -> RollNesting:
    """Blanks 24 wide that make two strips of 90 together: 50 + 40 beside 60 + 30."""
    blanks = tuple(Blank(across=24, along=along, count=1) for along in (50, 40, 60, 30))
    return RollNesting(blanks=blanks, rolls=(ROLL,), stages=3, longest_crosscut=longest)


def lengths(problem: RollNesting) -> tuple[int, list[int]]:
    plan = nest(problem, Limits(work=2_000))
    assert faults(problem, plan) == []
    return plan.cost, sorted(crosscut.length for roll in plan.rolls for crosscut in roll.crosscuts)


def test_a_crosscut_may_be_as_long_as_two_blanks_in_each_of_its_strips() -> None:
    assert lengths(two_strips()) == (90, [90])


def test_combined_blanks_make_no_crosscut_longer_than_the_table_takes() -> None:
    # 60 beside 50, then 40 beside 30: two crosscuts of at most 80, one after the other.
    cost, found = lengths(two_strips(longest=80))
    assert cost == 100
    assert max(found) <= 80


def small_job(seed: int) -> RollNesting:
    chance = Random(seed)
    blanks = tuple(
        Blank(across=chance.randint(3, 9), along=chance.randint(3, 12), count=1, turns=chance.random() < 0.4)
        for _ in range(chance.randint(3, 5))
    )
    rolls = []
    for _ in range(chance.randint(1, 2)):
        width = chance.randint(10, 16)
        if chance.random() < 0.3:
            rolls.append(RollWidth(width=width, length=None, cost=chance.randint(8, 12), step=4))
        else:
            rolls.append(RollWidth(width=width, length=chance.randint(12, 20), cost=chance.randint(50, 90)))
    return RollNesting(blanks=blanks, rolls=tuple(rolls), stages=3)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(16))
def test_the_bound_is_no_more_than_blanks_laid_anywhere_would_cost(seed: int) -> None:
    problem = small_job(seed)
    plan = nest(problem, Limits(work=2_000))
    assert faults(problem, plan) == []
    assert plan.bound <= least_cost_uncut(problem) <= plan.cost


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(24))
def test_a_cut_against_any_purchase_holds_for_what_suffices(seed: int) -> None:
    # Cuts found at purchases by chance, enough or not, may never exclude the cheapest rolls on which all blanks lie.
    problem = small_job(seed + 100)
    demand, chance = ordered_demand(problem), Random(seed)
    effort = Effort(Limits())
    slices = SliceMaster(CrosscutPricing(demand, effort), effort)
    least = least_cost_uncut(problem)
    slices.solved(100)
    for _ in range(5):
        cut = slices.against([chance.randint(0, 3) for _ in demand.offers], 50)
        if cut is not None:
            lowest = least_cost(cut, demand.offers)
            assert lowest is not None
            assert lowest <= least
