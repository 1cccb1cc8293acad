"""How a search is limited: by work alone, by a clock, and by a wish to stop."""

from dataclasses import replace
from itertools import count

import pytest

from solver.limits import Ending, Limits, Progress
from solver.rolls import nest
from tests.speed.roll_jobs import job
from tests.speed.roll_recount import faults

HARD = job(6, blanks=120, types=60, widths=3, running=True, turned=True, rack=False)


@pytest.mark.slow
def test_the_same_work_gives_the_same_plan() -> None:
    first, second = (nest(HARD, Limits(work=600)) for _ in range(2))
    assert first == second
    assert first.ending is Ending.WORK
    assert faults(HARD, first) == []


def test_a_clock_that_runs_out_ends_the_search_with_a_plan() -> None:
    ticking = count(0.0, 0.5)
    plan = nest(HARD, Limits(seconds=10, now=lambda: next(ticking)))
    assert plan.ending is Ending.SECONDS
    assert faults(HARD, plan) == []


def test_a_wish_to_stop_is_heeded() -> None:
    plan = nest(HARD, Limits(stop=lambda: True))
    assert plan.ending is Ending.STOPPED
    assert faults(HARD, plan) == []


def test_reports_only_ever_get_better() -> None:
    reports: list[Progress] = []
    nest(HARD, Limits(work=600, report=reports.append))
    costs = [report.cost for report in reports if report.cost is not None]
    bounds = [report.bound for report in reports if report.bound is not None]
    assert costs == sorted(costs, reverse=True)
    assert bounds == sorted(bounds)
    assert bounds[-1] <= costs[-1]


@pytest.mark.slow
@pytest.mark.parametrize("stages", [2, 3])
def test_whole_rolls_are_planned_within_the_work(stages: int) -> None:
    problem = replace(job(2, blanks=150, types=30, widths=2, running=False, turned=True, rack=True), stages=stages)
    plan = nest(problem, Limits(work=2_000))
    assert faults(problem, plan) == []
    assert plan.work <= 4_000
