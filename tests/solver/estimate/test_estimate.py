"""A budget before measuring."""

from __future__ import annotations

from solver.estimate import Roughness, estimate
from solver.lengths import Ticks, inches
from tests.builders import limits, opening, problem, stick

EXACT = Roughness(side=Ticks(0), count=0, recuts=0)


def test_sizes_that_are_sure_give_one_figure() -> None:
    budget = estimate(problem(), EXACT, limits())
    assert (budget.low, budget.likely, budget.high) == (7_600, 7_600, 7_600)


def test_rough_sizes_give_a_range_around_the_likely_figure() -> None:
    # 1 in more: uprights of 46 3/4 no longer go two to a 94 in stick; 1 in less they still do.
    job = problem(sticks=(stick("94 in", inches(94)), stick("12 ft", inches(144), 1_300)))
    budget = estimate(job, Roughness(side=inches(1), count=0, recuts=0), limits())
    assert budget.low is not None
    assert budget.likely is not None
    assert budget.high is not None
    assert budget.low <= budget.likely < budget.high


def test_recuts_are_counted_over_the_whole_job_and_not_row_by_row() -> None:
    # 5 % of 40 single windows are 2 more, not 40 more.
    job = problem(*[opening(f"A-{n}") for n in range(40)])
    budget = estimate(job, Roughness(side=Ticks(0), count=0, recuts=50), limits(work=300))
    assert budget.screens == (40, 40, 42)


def test_the_method_is_stated() -> None:
    assert "5 % more screens for recuts" in estimate(problem(), Roughness(), limits()).method
