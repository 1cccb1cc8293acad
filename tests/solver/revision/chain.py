"""Revisions for tests: each one is recounted before it is handed on."""

from __future__ import annotations

from typing import Any

from solver.check import faults, pinned_faults
from solver.events import Event
from solver.plan import Plan
from solver.problem import Problem
from solver.revision import Revision, replan
from solver.solve import solve
from tests.builders import limits


def first(job: Problem, **other: Any) -> Revision:
    plan = solve(job, limits(**other))
    assert faults(job, plan) == []
    return Revision(number=0, problem=job, plan=plan)


def after(before: Revision, *events: Event, price_of_change: Any = 0, **other: Any) -> Revision:
    now = replan(before, events, limits(**other), price_of_change=price_of_change)
    assert faults(now.problem, now.plan) == []
    assert pinned_faults(before.problem, before.plan, events, now.problem, now.plan) == []
    assert now.number == before.number + 1
    return now


def open_rails(plan: Plan) -> list[tuple[str, int, str]]:
    return sorted(
        (rail.opening, rail.copy, rail.place.value)
        for group in plan.stick_groups
        for stick in group.sticks
        for rail in stick.rails
    )


def bought(plan: Plan) -> dict[str, int]:
    return {line.stock or line.what: line.buy for line in plan.purchases if line.buy}
