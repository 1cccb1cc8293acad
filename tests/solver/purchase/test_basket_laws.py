"""Laws of buying together, and an independent complete model of small jobs."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from solver.check import faults
from solver.limits import Limits
from solver.plan import Plan
from solver.problem import Problem
from solver.solve import sized, solve
from tests.solver.purchase.complete_basket import cheapest_total
from tests.speed.basket_jobs import Recipe, job, without_kits

pytestmark = pytest.mark.slow

ALL: dict[str, Any] = {"mesh_kits": True, "deliveries": True, "least": True}


def proven(problem: Problem) -> Plan:
    plan = solve(problem, Limits(work=20_000))
    assert faults(problem, plan) == []
    assert plan.total == plan.bound
    return plan


def cost(problem: Problem) -> int:
    total = proven(problem).total
    assert total is not None
    return total


@pytest.mark.parametrize("seed", range(1, 13))
@pytest.mark.parametrize(
    "recipe",
    [Recipe(screens=3, sorts=2), Recipe(screens=2, sorts=2, mesh_kits=True), Recipe(screens=2, sorts=2, **ALL)],
    ids=["kits", "kits with mesh", "everything"],
)
def test_a_complete_model_finds_nothing_cheaper(recipe: Recipe, seed: int) -> None:
    problem = job(recipe, seed)
    assert cheapest_total(problem, sized(problem).screens) == cost(problem)


@pytest.mark.parametrize("seed", range(1, 7))
def test_another_offer_never_raises_the_cost(seed: int) -> None:
    problem = job(Recipe(screens=4, sorts=3, **ALL), seed)
    full = cost(problem)
    stock = problem.catalogue
    for fewer in (
        replace(stock, kits=stock.kits[:-1]),
        replace(stock, rolls=stock.rolls[:-1]),
        replace(stock, sticks=stock.sticks[:-1]),
    ):
        assert full <= cost(replace(problem, catalogue=fewer))


@pytest.mark.parametrize("seed", range(1, 7))
def test_kits_and_loose_stock_together_are_never_dearer_than_either_way_alone(seed: int) -> None:
    problem = job(Recipe(screens=4, sorts=4, mesh_kits=True), seed)
    plan = proven(problem)
    assert plan.total is not None
    assert plan.total <= cost(without_kits(problem))
    for way in plan.alternatives:
        assert way.cost is None or plan.total <= way.cost


def test_on_some_jobs_mixing_is_strictly_cheaper_than_kits_and_than_loose_stock() -> None:
    problem = job(Recipe(screens=3, sorts=3), 7)
    plan = proven(problem)
    loose = cost(without_kits(problem))
    ways = {way.name: way.cost for way in plan.alternatives}
    assert plan.total is not None
    assert plan.total < loose
    assert ways["one kit per window"] is not None
    assert plan.total < ways["one kit per window"]
    assert any(use.buy for use in plan.kits)
    assert any(stick.bought and not stick.from_kit for group in plan.stick_groups for stick in group.sticks)


def test_one_more_kit_on_hand_never_raises_the_cost() -> None:
    problem = job(Recipe(screens=3, sorts=3, mesh_kits=True), 2)
    stock = problem.catalogue
    richer = replace(stock, kits=tuple(replace(kit, on_hand=1) for kit in stock.kits))
    assert cost(replace(problem, catalogue=richer)) <= cost(problem)


def test_the_order_of_the_openings_changes_nothing() -> None:
    problem = job(Recipe(screens=4, sorts=4, **ALL), 3)
    assert cost(replace(problem, openings=problem.openings[::-1])) == cost(problem)


def test_the_same_work_limit_and_seed_give_the_same_plan() -> None:
    problem = job(Recipe(screens=5, sorts=5, **ALL), 4)
    assert solve(problem, Limits(work=300)) == solve(problem, Limits(work=300))


@pytest.mark.parametrize("work", [1, 30, 300])
def test_a_short_search_gives_a_sound_plan_with_an_honest_bound(work: int) -> None:
    problem = job(Recipe(screens=4, sorts=4, **ALL), 5)
    plan = solve(problem, Limits(work=work))
    assert faults(problem, plan) == []
    assert plan.bound is not None
    assert plan.bound <= cost(problem)


@pytest.mark.parametrize("flavour", [{}, {"mesh_kits": True}, {"mesh_kits": True, "deliveries": True}], ids=str)
@pytest.mark.parametrize("seed", range(1, 5))
def test_a_search_that_is_stopped_at_once_is_no_dearer_than_one_kit_per_window(
    flavour: dict[str, Any], seed: int
) -> None:
    problem = job(Recipe(screens=6, sorts=4, **flavour), seed)
    plan = solve(problem, Limits(stop=lambda: True))
    assert faults(problem, plan) == []
    ways = {way.name: way.cost for way in plan.alternatives}
    assert plan.total is not None
    assert ways["one kit per window"] is None or plan.total <= ways["one kit per window"]


@pytest.mark.parametrize("seed", range(1, 5))
def test_a_short_search_is_no_dearer_than_any_way_by_hand(seed: int) -> None:
    problem = job(Recipe(screens=6, sorts=4, mesh_kits=True, deliveries=True), seed)
    plan = solve(problem, Limits(work=500))
    assert plan.total is not None
    assert all(plan.total <= way.cost for way in plan.alternatives if way.cost is not None)
