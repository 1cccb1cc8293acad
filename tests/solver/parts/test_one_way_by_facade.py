"""A mesh that lies one way on each facade: the way is chosen with the cutting, kept, and recounted."""

from __future__ import annotations

from dataclasses import replace
from itertools import product
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from solver.catalogue import Mesh, Supplier
from solver.check import faults
from solver.errors import ProblemError
from solver.events import Added, CrosscutCut
from solver.lengths import inches
from solver.limits import Ending
from solver.money import Cents
from solver.plan import Plan
from solver.problem import Problem
from solver.rules import Turning
from solver.solve import solve
from tests.builders import MESH, limits, opening, problem, roll
from tests.solver.revision.chain import after, first


def job(*openings: Any, turning: Turning = Turning.FACADE, width: int = 48, **other: Any) -> Problem:
    """Cloth 48 in wide at 10 cents an inch; a blank is 1 7/8 in larger than its window, and 47 1/2 in are of use."""
    rolls = (roll("cloth", inches(width), 10, length=None, step=inches(1)),)
    return problem(*openings, meshes=(Mesh(name=MESH, turning=turning),), rolls=rolls, **other)


def window(label: str, wide: int, high: int, facade: str = "north", **other: Any) -> Any:
    return opening(label, width=inches(wide), height=inches(high), facade=facade, **other)


def ways(plan: Plan) -> dict[str, set[bool]]:
    found: dict[str, set[bool]] = {}
    for group in plan.roll_groups:
        for piece in (b for r in group.rolls for c in r.crosscuts for s in c.strips for b in s.blanks):
            found.setdefault(piece.opening, set()).add(piece.turned)
    return found


def mesh_cost(plan: Plan) -> int:
    return sum(group.proof.cost for group in plan.roll_groups)


def test_a_facade_lies_the_way_that_takes_less_cloth() -> None:
    # Windows of 60 x 20: turned, two blanks lie side by side on a roll 48 wide; upright they do not fit at all.
    plan = solve(job(window("A", 60, 20), window("B", 60, 20)), limits())
    assert ways(plan) == {"A": {True}, "B": {True}}


def test_the_windows_of_one_facade_lie_the_same_way_though_one_alone_would_not() -> None:
    # Free, the narrow ones lie upright; beside one that fits turned alone, the whole facade turns with it.
    windows = (window("A", 60, 20), window("B", 20, 40))
    assert ways(solve(job(*windows, turning=Turning.FREE), limits()))["A"] == {True}
    assert ways(solve(job(*windows), limits())) == {"A": {True}, "B": {True}}


def test_two_facades_may_lie_two_ways() -> None:
    plan = solve(job(window("A", 60, 20), window("B", 20, 60, facade="south")), limits())
    assert ways(plan) == {"A": {True}, "B": {False}}


def test_a_facade_that_fits_neither_way_is_refused() -> None:
    with pytest.raises(ProblemError, match="A only turned, B only upright"):
        solve(job(window("A", 60, 20), window("B", 20, 60)), limits())


def test_a_mixed_facade_is_found_by_the_recount() -> None:
    windows = (window("A", 60, 20), window("B", 20, 40))
    free = solve(job(*windows, turning=Turning.FREE), limits())
    assert ways(free) == {"A": {True}, "B": {False}}
    found = faults(job(*windows), free)
    assert "this mesh lies one way on a facade" in {fault.rule for fault in found}


def test_a_revision_keeps_the_way_of_what_is_cut() -> None:
    # One blank of 30 x 40 is cut upright; more on that facade follow it, though turned they would lie better.
    plan = first(job(window("A", 20, 40), window("B", 20, 40)))
    (group,) = plan.plan.roll_groups
    cut = group.rolls[0].crosscuts[0]
    (way,) = {b.turned for s in cut.strips for b in s.blanks}
    now = after(plan, CrosscutCut(mesh=group.mesh, number=cut.number), Added(opening=window("C", 30, 32)))
    assert {pin.turned for pin in now.problem.pinned_blanks} == {way}
    assert ways(now.plan)["C"] == {way}


SIZES = st.lists(
    st.tuples(st.integers(18, 44), st.integers(18, 44), st.sampled_from(["north", "south"])), min_size=1, max_size=5
)


@settings(max_examples=15, deadline=None)
@given(sizes=SIZES)
def test_never_costs_at_least_by_facade_and_that_at_least_free(sizes: list[tuple[int, int, str]]) -> None:
    windows = [window(f"W{n}", *size) for n, size in enumerate(sizes)]
    never, one_way, free = (
        solve(job(*windows, turning=turning), limits()) for turning in (Turning.NEVER, Turning.FACADE, Turning.FREE)
    )
    for plan in (never, one_way, free):
        assert all(group.proof.ending is Ending.PROVEN for group in plan.roll_groups)
    assert mesh_cost(never) >= mesh_cost(one_way) >= mesh_cost(free)


@settings(max_examples=10, deadline=None)
@given(sizes=SIZES)
def test_the_best_way_of_all_is_found_for_few_facades(sizes: list[tuple[int, int, str]]) -> None:
    windows = [window(f"W{n}", *size) for n, size in enumerate(sizes)]
    facades = sorted({size[2] for size in sizes})
    costs = []
    for turned in product((False, True), repeat=len(facades)):
        # A facade turned is one whose windows are as wide as they were high, never turned.
        lies = dict(zip(facades, turned, strict=True))
        laid = [
            window(f"W{n}", high, wide, side) if lies[side] else window(f"W{n}", wide, high, side)
            for n, (wide, high, side) in enumerate(sizes)
        ]
        costs.append(mesh_cost(solve(job(*laid, turning=Turning.NEVER), limits())))
    plan = solve(job(*windows), limits())
    assert mesh_cost(plan) == min(costs)
    assert all(group.proof.bound == group.proof.cost for group in plan.roll_groups)


def test_many_facades_are_turned_one_by_one_and_bounded_by_free_turning() -> None:
    windows = [window(f"W{n}", 60 if n % 2 else 20, 20 if n % 2 else 60, facade=f"side {n}") for n in range(6)]
    plan = solve(job(*windows), limits())
    assert ways(plan) == {f"W{n}": {bool(n % 2)} for n in range(6)}
    free = solve(job(*windows, turning=Turning.FREE), limits())
    assert plan.roll_groups[0].proof.bound <= free.roll_groups[0].proof.cost


def test_facades_that_fit_one_way_only_lie_so_however_many_there_are() -> None:
    # On two facades one window fits only turned, on two only upright: no start of all alike would do.
    windows = []
    for side in range(4):
        windows += [window(f"L{side}", *((60, 20) if side < 2 else (20, 60)), facade=f"side {side}")]
        windows += [
            window(f"S{side}{n}", *((20, 40) if side < 2 else (40, 20)), facade=f"side {side}") for n in range(3)
        ]
    plan = solve(job(*windows), limits())
    assert {label: way for label, way in ways(plan).items() if label.startswith("L")} == {
        "L0": {True}, "L1": {True}, "L2": {False}, "L3": {False}
    }  # fmt: skip
    assert plan.roll_groups[0].proof.ending is Ending.PROVEN


def test_in_a_basket_a_facade_that_fits_only_turned_lies_turned() -> None:
    rolls = (roll("cloth", inches(48), 10, length=None, step=inches(1), supplier="far"),)
    far = (Supplier(name="far", delivery=Cents(500)),)
    meshes = (Mesh(name=MESH, turning=Turning.FACADE),)
    coupled = problem(window("A", 60, 20), window("B", 20, 40), meshes=meshes, rolls=rolls, suppliers=far)
    plan = solve(coupled, limits())
    assert ways(plan) == {"A": {True}, "B": {True}}
    assert plan.baskets


def test_openings_that_name_no_facade_hang_on_one_in_their_building() -> None:
    windows = [window("A", 60, 20, facade=""), window("B", 20, 40, facade="")]
    together = solve(job(*windows), limits())
    assert ways(together) == {"A": {True}, "B": {True}}
    assert [n.message for n in together.notices if n.topic == "facade"] == [
        "without a facade, so those of one building lie the same way: A, B"
    ]
    apart = [replace(one, building=name) for one, name in zip(windows, "XY", strict=True)]
    assert ways(solve(job(*apart), limits()))["A"] == {True}
