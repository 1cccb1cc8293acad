"""What must hold for every job, whatever its numbers."""

from dataclasses import replace
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from solver.limits import Ending, Limits
from solver.rolls import by_hand, nest
from solver.rolls.model import Blank, NestingPlan, RollNesting, RollWidth
from tests.speed.roll_recount import faults

FEW = settings(max_examples=12, deadline=None, derandomize=True)

BLANKS = st.lists(
    st.builds(
        Blank,
        across=st.integers(3, 12),
        along=st.integers(3, 13),
        count=st.integers(1, 3),
        turns=st.booleans(),
    ),
    min_size=1,
    max_size=4,
)
ROLLS = st.lists(
    st.one_of(
        st.builds(RollWidth, width=st.integers(15, 30), length=st.just(None), cost=st.integers(1, 9), step=st.just(3)),
        st.builds(RollWidth, width=st.integers(15, 30), length=st.integers(16, 40), cost=st.integers(50, 90)),
    ),
    min_size=1,
    max_size=3,
)
JOBS = st.builds(
    lambda blanks, rolls, extra: RollNesting(blanks=tuple(blanks), rolls=tuple(rolls), crosscut_extra=extra),
    BLANKS,
    ROLLS,
    st.integers(0, 2),
)


def planned(problem: RollNesting) -> NestingPlan:
    plan = nest(problem, Limits(work=3_000))
    assert faults(problem, plan) == []
    return plan


@FEW
@given(JOBS)
def test_a_plan_never_costs_more_than_shelves_by_hand(problem: RollNesting) -> None:
    shelves = by_hand(problem)
    assert shelves is None or planned(problem).cost <= shelves


@FEW
@given(JOBS)
def test_leave_to_turn_never_costs_more(problem: RollNesting) -> None:
    fixed = replace(problem, blanks=tuple(replace(blank, turns=False) for blank in problem.blanks))
    free = replace(problem, blanks=tuple(replace(blank, turns=True) for blank in problem.blanks))
    assert planned(free).bound <= planned(fixed).cost
    if planned(free).ending is Ending.PROVEN:
        assert planned(free).cost <= planned(fixed).cost


@FEW
@given(JOBS, ROLLS)
def test_another_roll_on_offer_never_raises_a_proven_cost(problem: RollNesting, more: list[RollWidth]) -> None:
    wider = planned(replace(problem, rolls=(*problem.rolls, *more)))
    assert wider.bound <= planned(problem).cost
    if wider.ending is Ending.PROVEN:
        assert wider.cost <= planned(problem).cost


@pytest.mark.slow
@FEW
@given(JOBS)
def test_three_stages_never_cost_more_than_two(problem: RollNesting) -> None:
    two, three = planned(problem), planned(replace(problem, stages=3))
    assert three.bound <= three.cost <= two.cost


@FEW
@given(JOBS, st.randoms(use_true_random=False))
def test_the_order_of_the_rows_changes_nothing(problem: RollNesting, chance: Random) -> None:
    blanks, rolls = list(problem.blanks), list(problem.rolls)
    chance.shuffle(blanks)
    chance.shuffle(rolls)
    mixed = planned(replace(problem, blanks=tuple(blanks), rolls=tuple(rolls)))
    assert mixed.bound <= planned(problem).cost
    if mixed.ending is planned(problem).ending is Ending.PROVEN:
        assert mixed.cost == planned(problem).cost


@FEW
@given(JOBS, st.integers(2, 9))
def test_a_finer_unit_changes_nothing(problem: RollNesting, factor: int) -> None:
    fine = RollNesting(
        blanks=tuple(replace(b, across=b.across * factor, along=b.along * factor) for b in problem.blanks),
        rolls=tuple(
            replace(r, width=r.width * factor, length=r.length and r.length * factor, step=r.step * factor)
            for r in problem.rolls
        ),
        crosscut_extra=problem.crosscut_extra * factor,
    )
    assert planned(fine).cost == planned(problem).cost
