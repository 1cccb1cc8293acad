"""Laws of buying and cutting that hold for every job."""

from __future__ import annotations

from dataclasses import replace
from random import Random

from hypothesis import given, settings
from hypothesis import strategies as st

from solver.limits import Limits
from solver.sticks import by_hand, cut
from solver.sticks.model import CuttingPlan, CuttingStock, StockLength
from tests.solver.sticks.assignment import least_cost
from tests.solver.sticks.recount import broken_rules
from tests.solver.sticks.small_jobs import small_jobs


def planned(problem: CuttingStock, work: int = 20_000) -> CuttingPlan:
    plan = cut(problem, Limits(work=work), None)
    assert broken_rules(problem, plan) == []
    return plan


def proven(problem: CuttingStock) -> int:
    plan = planned(problem)
    assert plan.cost == plan.bound
    return plan.cost


@settings(max_examples=40, deadline=None)
@given(small_jobs())
def test_cost_is_that_of_the_complete_model(problem: CuttingStock) -> None:
    assert proven(problem) == least_cost(problem)


@settings(max_examples=25, deadline=None)
@given(small_jobs(), st.randoms())
def test_order_of_the_stock_list_never_changes_the_cost(problem: CuttingStock, chance: Random) -> None:
    stock = list(problem.stock)
    chance.shuffle(stock)
    assert proven(problem) == proven(replace(problem, stock=tuple(stock)))


@settings(max_examples=25, deadline=None)
@given(small_jobs())
def test_inch_and_millimetre_lists_of_the_same_lengths_cost_the_same(problem: CuttingStock) -> None:
    # A sixteenth of an inch is 508 ticks, a tenth of a millimetre 32: scaling changes nothing.
    costs = {proven(scaled(problem, unit)) for unit in (1, 508, 32)}
    assert len(costs) == 1


@settings(max_examples=25, deadline=None)
@given(small_jobs(), st.integers(20, 160), st.integers(1, 15))
def test_another_length_on_sale_never_raises_the_cost(problem: CuttingStock, length: int, cost: int) -> None:
    more = replace(problem, stock=(*problem.stock, StockLength(length=length, cost=cost)))
    assert proven(more) <= proven(problem)


@settings(max_examples=25, deadline=None)
@given(small_jobs(), st.integers(10, 130))
def test_one_more_leftover_never_raises_the_cost(problem: CuttingStock, length: int) -> None:
    more = replace(problem, stock=(*problem.stock, StockLength(length=length, cost=0, limit=1)))
    assert proven(more) <= proven(problem)


@settings(max_examples=25, deadline=None)
@given(small_jobs(), st.sampled_from([0, 1, 7, 30, 200]))
def test_no_plan_is_dearer_than_by_hand_however_little_work_is_allowed(problem: CuttingStock, work: int) -> None:
    hand = by_hand(problem)
    assert hand is None or planned(problem, work).cost <= hand


@settings(max_examples=8, deadline=None)
@given(small_jobs(), st.sampled_from([1, 10, 100, 1_000]))
def test_same_job_seed_and_work_give_the_same_plan(problem: CuttingStock, work: int) -> None:
    assert cut(problem, Limits(work=work)) == cut(problem, Limits(work=work))


def scaled(problem: CuttingStock, unit: int) -> CuttingStock:
    stock = tuple(replace(stock, length=stock.length * unit) for stock in problem.stock)
    lengths = tuple(length * unit for length in problem.lengths)
    return replace(problem, lengths=lengths, kerf=problem.kerf * unit, stock=stock)
