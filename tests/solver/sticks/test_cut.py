"""Rules of the stick planner, with numbers that can be checked in the head or in print."""

from __future__ import annotations

from collections.abc import Mapping

import pytest

from solver.errors import ProblemError
from solver.limits import Ending, Limits, Progress
from solver.sticks import cut
from solver.sticks.model import CuttingPlan, CuttingStock, StockLength
from tests.solver.sticks.recount import broken_rules

EIGHT_FOOT = StockLength(length=96, cost=10)


def make_problem(rails: Mapping[int, int], *stock: StockLength, kerf: int = 0) -> CuttingStock:
    lengths = tuple(sorted(rails, reverse=True))
    return CuttingStock(
        lengths=lengths, counts=tuple(rails[length] for length in lengths), kerf=kerf, stock=stock or (EIGHT_FOOT,)
    )


def planned(problem: CuttingStock, limits: Limits | None = None) -> CuttingPlan:
    plan = cut(problem, limits or Limits())
    assert broken_rules(problem, plan) == []
    return plan


def test_kerf_is_lost_between_rails_not_after_the_last() -> None:
    # 3 x 31 + 2 x 1 = 95 fits 96; with a kerf of 2 it is 97.
    assert planned(make_problem({31: 3}, kerf=1)).cost == 10
    assert planned(make_problem({31: 3}, kerf=2)).cost == 20


def test_textbook_example_needs_453_sticks() -> None:
    # Chvatal, Linear Programming (1983), ch. 13: optimum of the relaxation 452.25.
    rails = {45: 97, 36: 610, 31: 395, 14: 211}
    plan = planned(make_problem(rails, StockLength(length=100, cost=1)))
    assert (plan.cost, plan.bound, plan.ending) == (453, 453, Ending.PROVEN)


def test_paper_mill_example_needs_73_rolls() -> None:
    # General encyclopaedia, article "Cutting stock problem".
    rails = {1380: 22, 1520: 25, 1560: 12, 1710: 14, 1820: 18, 1880: 18, 1930: 20}
    rails |= {2000: 10, 2050: 12, 2100: 14, 2140: 16, 2150: 18, 2200: 20}
    plan = planned(make_problem(rails, StockLength(length=5600, cost=1)))
    assert (plan.cost, plan.bound) == (73, 73)


def test_cheapest_mix_of_two_stick_lengths_is_bought() -> None:
    # 3 x 40: one stick of 144 for 13 beats two of 96 for 20.
    plan = planned(make_problem({40: 3}, EIGHT_FOOT, StockLength(length=144, cost=13)))
    assert (plan.cost, plan.bound) == (13, 13)


def test_sticks_on_hand_are_used_before_any_is_bought() -> None:
    plan = planned(make_problem({40: 4}, EIGHT_FOOT, StockLength(length=84, cost=0, limit=1)))
    assert (plan.cost, plan.bound) == (10, 10)


def test_stock_limit_is_kept() -> None:
    # The long stick is cheaper for what it holds, but there is only one.
    plan = planned(make_problem({40: 7}, EIGHT_FOOT, StockLength(length=144, cost=11, limit=1)))
    assert plan.cost == 31


def test_bundle_is_bought_when_it_is_cheaper_than_the_sticks_needed() -> None:
    stock = StockLength(length=96, cost=10, bundle=(5, 35))
    assert planned(make_problem({90: 4}, stock)).cost == 35
    assert planned(make_problem({90: 3}, stock)).cost == 30
    assert planned(make_problem({90: 7}, stock)).cost == 55


def test_bundle_beyond_the_limit_is_not_bought() -> None:
    assert planned(make_problem({90: 4}, StockLength(length=96, cost=10, limit=4, bundle=(5, 35)))).cost == 40


def test_too_few_sticks_is_an_error_that_says_what_is_missing() -> None:
    with pytest.raises(ProblemError) as error:
        cut(make_problem({90: 3}, StockLength(length=96, cost=10, limit=2)), Limits())
    assert str(error.value) == (
        "the sticks do not hold all rails: 1 rails, 90 of length in all, find no stick (1 of length 90);"
        " raise the limits or add a longer stick"
    )


def test_rail_longer_than_every_stick_is_an_error() -> None:
    with pytest.raises(ProblemError) as error:
        cut(make_problem({97: 2}), Limits())
    assert str(error.value) == "2 rails of length 97 are longer than every stick; the longest stick holds 96"


def test_free_endless_stock_costs_nothing() -> None:
    assert planned(make_problem({40: 9}, StockLength(length=96, cost=0))).cost == 0


def test_same_problem_seed_and_work_give_the_same_plan() -> None:
    rails = {23 + 7 * n % 60: 2 + n % 3 for n in range(12)}
    problem = make_problem(rails, EIGHT_FOOT, StockLength(length=144, cost=16), kerf=1)
    assert cut(problem, Limits(work=300)) == cut(problem, Limits(work=300))


def test_progress_only_ever_improves() -> None:
    reports: list[Progress] = []
    rails = {23 + 7 * n % 60: 2 + n % 3 for n in range(12)}
    planned(make_problem(rails, EIGHT_FOOT, StockLength(length=144, cost=16), kerf=1), Limits(report=reports.append))
    costs = [report.cost or 0 for report in reports]
    bounds = [report.bound or 0 for report in reports]
    assert costs == sorted(costs, reverse=True)
    assert bounds == sorted(bounds)


def test_request_to_stop_still_gives_a_whole_plan() -> None:
    rails = {23 + 7 * n % 60: 2 + n % 3 for n in range(12)}
    plan = planned(make_problem(rails, EIGHT_FOOT, kerf=1), Limits(stop=lambda: True))
    assert plan.ending in {Ending.STOPPED, Ending.PROVEN}
