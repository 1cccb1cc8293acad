"""Orders due first are finished first, and few are open at once."""

from __future__ import annotations

from collections import Counter
from typing import Any

import pytest

from solver.check import faults
from solver.errors import ProblemError
from solver.lengths import inches
from solver.pooling import CuttingOrder, Phased, in_cutting_order, within_open_orders
from solver.problem import Problem
from solver.solve import solve
from tests.builders import limits, opening, problem, stick


def three_orders(**stock: Any) -> Problem:
    return problem(*[opening(f"{order}-1", order=order) for order in ("7", "8", "9")], **stock)


def test_the_order_due_first_is_finished_first() -> None:
    job = three_orders()
    ordered = in_cutting_order(job, solve(job, limits()), {"9": 1, "7": 2, "8": 3})
    assert faults(job, ordered.plan) == []
    assert ordered.finished == ("9", "7", "8")


def test_cutting_order_changes_no_cut_and_no_cost() -> None:
    job = three_orders()
    plan = solve(job, limits())
    ordered = in_cutting_order(job, plan, {"9": 1}).plan
    assert ordered.total == plan.total
    assert Counter(s.rails for s in ordered.stick_groups[0].sticks) == Counter(
        s.rails for s in plan.stick_groups[0].sticks
    )


def test_one_order_after_the_other_keeps_one_open() -> None:
    # Four sticks of 4 ft each hold one rail: no stick holds rails of two orders.
    job = three_orders(sticks=(stick("4 ft", inches(48)),))
    assert in_cutting_order(job, solve(job, limits())).most_open == 1


def test_too_many_open_orders_are_planned_in_batches_at_a_stated_price() -> None:
    # A stick of 20 ft holds the 155 1/4 in of one window and a half: pooled, orders share sticks.
    job = three_orders(sticks=(stick("20 ft", inches(240), 2_000),))
    pooled = solve(job, limits())
    assert in_cutting_order(job, pooled).most_open > 1
    answer = within_open_orders(job, pooled, limits(), most_open=1, due={"8": 1})
    assert isinstance(answer, Phased)
    assert [{o.order for o in phase.problem.openings} for phase in answer.phases] == [{"8"}, {"7"}, {"9"}]
    assert all(faults(phase.problem, phase.plan) == [] for phase in answer.phases)
    assert answer.price_of_difference is not None


def test_a_limit_that_holds_anyway_costs_nothing() -> None:
    job = three_orders()
    answer = within_open_orders(job, solve(job, limits()), limits(), most_open=3)
    assert isinstance(answer, CuttingOrder)


def test_a_number_that_is_on_labels_stays_when_only_the_order_changes() -> None:
    job = three_orders(sticks=(stick("4 ft", inches(48)),))
    plan = solve(job, limits())
    ordered = in_cutting_order(job, plan, {"9": 1}, anew=False)
    (before,), (now,) = plan.stick_groups, ordered.plan.stick_groups
    assert {s.number: s.rails for s in now.sticks} == {s.number: s.rails for s in before.sticks}
    assert now.sticks[0].rails[0].opening == "9-1"
    assert [number for _, _, number in ordered.sequence] == [s.number for s in now.sticks]


def test_a_date_for_an_order_that_is_not_in_the_job_is_named() -> None:
    job = three_orders()
    with pytest.raises(ProblemError) as told:
        in_cutting_order(job, solve(job, limits()), {"9": 1, "10": 2, "S-1": 3})
    assert [fault.message for fault in told.value.faults] == [
        "due: the job has no order 10; it has 7, 8, 9",
        "due: the job has no order S-1; it has 7, 8, 9",
    ]
