"""One kit per window, cut by cut."""

from __future__ import annotations

from typing import Any

from solver.catalogue import KitMesh, Mesh
from solver.check import faults
from solver.lengths import Ticks, inches
from solver.limits import Limits
from solver.parts import BasketPart
from solver.plan import Plan
from solver.problem import Problem
from solver.purchase.basket.per_window import kit_per_window, shared_out
from solver.rules import Rules, Turning
from solver.solve import parts, sized, solve
from tests.builders import MESH, opening, problem, roll, stick
from tests.solver.purchase.offers import kit, sticks

EXACT = Rules(kerf=Ticks(0), end_trim=Ticks(0), bottoms_clearance=Ticks(0))


def square(label: str, side: int, **other: Any) -> Any:
    return opening(label, inches(side), inches(side), **other)


def basket(job: Problem) -> BasketPart:
    (part,) = [part for part in parts(job, sized(job)) if isinstance(part, BasketPart)]
    return part


def stopped(job: Problem) -> Plan:
    """What is planned without any search; kits far cheaper than anything loose."""
    plan = solve(job, Limits(stop=lambda: True))
    assert faults(job, plan) == []
    return plan


def dear(*openings: Any, **other: Any) -> Problem:
    stock: dict[str, Any] = {"sticks": (stick(price=99_000),), "rolls": (roll(price=99_000),)}
    return problem(*openings, rules=EXACT, **(stock | other))


def test_a_window_gets_the_cheapest_kit_that_makes_it() -> None:
    kits = (
        kit("36", 1_500),
        kit("48", 1_700, sticks=(sticks(4, inches(48)),)),
        kit("60", 1_600, sticks=(sticks(4, inches(60)),)),
    )
    windows = kit_per_window(basket(dear(square("A", 36), square("B", 44), kits=kits)))
    assert windows.kits == (1, 0, 1)


def test_the_largest_windows_choose_first_where_kits_are_limited() -> None:
    windows = kit_per_window(basket(dear(square("A", 30), square("B", 37), kits=(kit(limit=1),))))
    assert [made.screen.opening for made in windows.made] == ["B"]
    assert (windows.windows, windows.without) == (2, 1)


def test_a_kit_on_the_rack_goes_before_one_that_is_bought() -> None:
    windows = kit_per_window(basket(dear(square("A", 30), square("B", 36), kits=(kit(on_hand=1),))))
    assert [(made.screen.opening, made.bought) for made in windows.made] == [("B", False), ("A", True)]
    assert windows.kits == (1,)


def test_short_rails_may_share_a_stick() -> None:
    job = dear(square("A", 18), kits=(kit(sticks=(sticks(2, inches(36)),)),))
    part = basket(job)
    (screen,) = part.screens
    shares = shared_out(part.kits[0], screen, part.rails[0])
    assert shares is not None
    assert sorted(stick for stick, _ in shares) == [0, 0, 1, 1]


def test_a_kit_whose_sticks_are_too_few_makes_no_window() -> None:
    job = dear(square("A", 36), kits=(kit(sticks=(sticks(3, inches(36)),)),))
    assert kit_per_window(basket(job)).kits == (0,)


def test_the_plan_without_any_search_cuts_each_kit_into_its_window() -> None:
    plan = stopped(dear(square("A", 36, quantity=2), kits=(kit(),)))
    assert plan.kits[0].buy == 2
    assert all(stick.from_kit and len(stick.rails) == 1 for stick in plan.stick_groups[0].sticks)


def test_a_window_that_no_kit_makes_comes_from_loose_sticks_beside_the_kits() -> None:
    plan = stopped(dear(square("A", 36), square("B", 44), kits=(kit(),)))
    assert plan.kits[0].buy == 1
    assert sum(not stick.from_kit for stick in plan.stick_groups[0].sticks) == 2


def test_a_kits_mesh_serves_its_window_and_the_rest_comes_from_a_roll() -> None:
    piece = KitMesh(mesh=MESH, width=inches(40), length=inches(40))
    plan = stopped(dear(square("A", 36), square("B", 44), kits=(kit(mesh=piece),)))
    assert [cut.from_kit for cut in plan.roll_groups[0].rolls] == [True, False]


def test_a_kits_mesh_may_be_turned_where_the_cloth_may() -> None:
    # A blank of 36 x 46 on a piece 48 wide and 37 long.
    piece = KitMesh(mesh=MESH, width=inches(48), length=inches(37))
    kits = (kit(sticks=(sticks(4, inches(48)),), mesh=piece),)
    window = opening("A", inches(34), inches(44))
    free = stopped(dear(window, kits=kits, meshes=(Mesh(name=MESH, turning=Turning.FREE),)))
    assert [cut.from_kit for cut in free.roll_groups[0].rolls] == [True]
    fixed = stopped(dear(window, kits=kits))
    assert [cut.from_kit for cut in fixed.roll_groups[0].rolls] == [False]


def test_a_kit_that_brings_its_mesh_is_taken_where_the_mesh_would_cost_more() -> None:
    piece = KitMesh(mesh=MESH, width=inches(40), length=inches(40))
    # 5.00 more for the piece of mesh; a roll costs 990.00 in one job and 1.00 in the other.
    kits = (kit("bare", 1_500), kit("meshed", 2_000, mesh=piece))
    bare, meshed = (
        kit_per_window(basket(dear(square("A", 36), kits=kits, rolls=(roll(price=price),)))) for price in (100, 99_000)
    )
    assert (bare.kits, bare.cost) == ((1, 0), 1_600)
    assert (meshed.kits, meshed.cost) == ((0, 1), 2_000)
