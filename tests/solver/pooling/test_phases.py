"""Phase by phase, leftovers carried over, beside the joint plan."""

from __future__ import annotations

from solver.catalogue import Hardware
from solver.check import faults
from solver.lengths import inches
from solver.pooling import Belonging, one_by_one
from solver.revision.finished import stock_when_finished
from solver.solve import solve
from tests.builders import PROFILE, limits, opening, pack, problem, stick


def test_the_second_phase_begins_with_what_the_first_left() -> None:
    # A 20 ft stick holds one window (155 1/4 in) and leaves 84 3/8 in; two uprights go into that.
    job = problem(
        opening("A", phase="1"),
        opening("B", phase="2"),
        sticks=(stick("20 ft", inches(240), 2_000), stick("6 ft", inches(72), 900)),
    )
    phased = one_by_one(job, limits(), Belonging.PHASE.of)
    assert [phase.name for phase in phased.phases] == ["1", "2"]
    second = phased.phases[1]
    assert [faults(phase.problem, phase.plan) for phase in phased.phases] == [[], []]
    assert any(each.leftover for each in second.problem.catalogue.sticks)
    assert not any(line.buy for line in second.plan.purchases if line.what.startswith("roll"))
    assert phased.total is not None
    assert phased.price_of_difference == phased.total - (phased.joint.total or 0)


def test_phase_by_phase_never_costs_less_than_a_proven_joint_plan() -> None:
    job = problem(*[opening(f"A-{n}", phase=str(n)) for n in range(3)])
    phased = one_by_one(job, limits(), Belonging.PHASE.of)
    assert phased.joint.bound == phased.joint.total
    assert (phased.price_of_difference or 0) >= 0


def test_phase_10_comes_after_phase_2() -> None:
    job = problem(opening("A", phase="phase 10"), opening("B", phase="phase 2"))
    assert [phase.name for phase in one_by_one(job, limits(), Belonging.PHASE.of).phases] == ["phase 2", "phase 10"]


def test_a_finished_job_leaves_offcuts_and_the_rest_of_its_packs() -> None:
    job = problem(packs=(pack(Hardware.CORNER, 25, fits=PROFILE),))
    stock = stock_when_finished(job, solve(job, limits()))
    # 2 x 96 - 2 x 1/4 - 2 x 45 7/8 - 2 x 31 3/4 = 36 1/4 of offcuts; 25 corners less 4.
    assert sum(each.length * each.on_hand for each in stock.sticks if each.leftover) == inches(36, 1, 4)
    assert {each.hardware: each.on_hand for each in stock.packs}[Hardware.CORNER] == 21
    assert all(each.on_hand == 0 for each in stock.packs if each.hardware is not Hardware.CORNER)
