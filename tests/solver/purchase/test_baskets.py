"""One buying decision: kits, loose stock, packs, deliveries and least numbers together, on jobs one can check."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from solver.catalogue import Hardware, KitMesh, Supplier
from solver.check import faults
from solver.errors import ProblemError
from solver.lengths import Ticks, inches
from solver.limits import Ending
from solver.money import Cents
from solver.parts import BasketPart
from solver.plan import Plan
from solver.problem import Problem
from solver.rules import Rules
from solver.solve import parts, sized, solve
from tests.builders import MESH, PROFILE, limits, opening, pack, problem, roll, stick
from tests.solver.purchase.offers import hardware, kit, sticks

EXACT = Rules(kerf=Ticks(0), end_trim=Ticks(0), bottoms_clearance=Ticks(0))
"""A frame of 36 x 36 has four rails of 34 1/2."""
CORNERS = (pack(Hardware.CORNER, 4, 400, fits=PROFILE),)


def square(label: str = "A", side: int = 36, **other: Any) -> Any:
    return opening(label, inches(side), inches(side), **other)


def checked(job: Problem, **other: Any) -> Plan:
    plan = solve(job, limits(**other))
    assert faults(job, plan) == []
    return plan


def bought(plan: Plan) -> dict[str, int]:
    return {line.stock or line.what: line.buy for line in plan.purchases if line.cost is not None}


def basket_cost(plan: Plan) -> tuple[int, int]:
    (basket,) = plan.baskets
    return basket.proof.cost, basket.proof.bound


def names(job: Problem) -> list[str]:
    return [part.name for part in parts(job, sized(job))]


# What is decided together


def test_a_job_without_kits_deliveries_and_least_numbers_has_no_basket() -> None:
    assert names(problem(square(), packs=CORNERS)) == ["rails 5/16 white", f"mesh {MESH}"]


def test_a_kit_ties_its_rails_to_its_hardware_and_leaves_the_mesh_alone() -> None:
    job = problem(square(), packs=CORNERS, kits=(kit(),))
    assert names(job) == [f"mesh {MESH}", "basket"]
    basket = parts(job, sized(job))[1]
    assert isinstance(basket, BasketPart)
    assert [want.hardware for want in basket.wants] == [Hardware.CORNER]


def test_a_kit_with_mesh_ties_the_mesh_as_well() -> None:
    piece = KitMesh(mesh=MESH, width=inches(40), length=inches(48))
    assert names(problem(square(), packs=CORNERS, kits=(kit(mesh=piece),))) == ["basket"]


def test_a_kit_without_a_price_is_left_out_with_a_notice() -> None:
    job = problem(square(), kits=(kit(price=None),))
    assert names(job) == ["rails 5/16 white", f"mesh {MESH}"]
    assert "no price is known for kit 36; without one it is not compared with loose stock" in [
        notice.message for notice in checked(job).notices
    ]


def test_stock_without_a_price_is_not_weighed_against_kits() -> None:
    assert names(problem(square(), sticks=(stick(price=None),), kits=(kit(),), packs=CORNERS)) == [
        "rails 5/16 white",
        f"mesh {MESH}",
        "basket",
    ]


def test_a_delivery_charge_ties_what_its_supplier_sells() -> None:
    north = (Supplier(name="North", delivery=Cents(500)),)
    job = problem(square(), sticks=(stick(supplier="North"),), rolls=(roll(supplier="North"),), suppliers=north)
    assert names(job) == ["basket"]


def test_a_supplier_who_charges_nothing_ties_nothing() -> None:
    job = problem(square(), sticks=(stick(supplier="North"),), suppliers=(Supplier(name="North"),))
    assert names(job) == ["rails 5/16 white", f"mesh {MESH}"]


def test_two_ties_without_anything_in_common_are_two_baskets() -> None:
    least = (roll(minimum=2),)
    assert names(problem(square(), packs=CORNERS, kits=(kit(),), rolls=least)) == ["basket 1", "basket 2"]


# Which is cheapest


def test_a_kit_is_bought_where_it_is_cheaper_than_its_contents() -> None:
    # Loose: two sticks of 8 ft at 8.00 and a pack of corners at 4.00.
    plan = checked(problem(square(), rules=EXACT, packs=CORNERS, kits=(kit(price=1_999),)))
    assert bought(plan)["kit 36"] == 1
    assert basket_cost(plan) == (1_999, 1_999)


def test_loose_stock_is_bought_where_a_kit_is_dearer() -> None:
    plan = checked(problem(square(), rules=EXACT, packs=CORNERS, kits=(kit(price=2_001),)))
    assert (bought(plan)["8 ft"], bought(plan)["corner x 4"]) == (2, 1)
    assert basket_cost(plan) == (2_000, 2_000)


def test_mixing_kits_and_loose_stock_can_beat_either_alone() -> None:
    # A 36 x 36 window suits the kit; of a 44 x 44 window's rails the kit holds none.
    # Kits only: impossible; loose only: 4 sticks and 2 packs, 40.00; mixed: 15.00 + 2 x 8.00 + 4.00.
    plan = checked(problem(square("A"), square("B", 44), rules=EXACT, packs=CORNERS, kits=(kit(),)))
    assert basket_cost(plan) == (1_500 + 1_600 + 400, 3_500)
    assert {way.name: way.cost for way in plan.alternatives} == {
        "this plan": 6_000 + 3_500,
        "one kit per window": 6_000 + 3_500,
        "loose stock by hand": 6_000 + 4_000,
    }


def test_the_sticks_of_one_kit_may_serve_two_windows() -> None:
    # Two windows of 17 x 17 have eight rails of 15 1/2: two from each stick of one kit.
    plan = checked(
        problem(
            square(side=17, quantity=2),
            rules=EXACT,
            packs=(pack(Hardware.CORNER, 4, 100, fits=PROFILE),),
            kits=(kit(price=900),),
        )
    )
    assert (bought(plan)["kit 36"], bought(plan)["corner x 4"]) == (1, 1)
    assert basket_cost(plan) == (1_000, 1_000)


def test_a_kits_mesh_saves_the_roll() -> None:
    piece = KitMesh(mesh=MESH, width=inches(40), length=inches(48))
    plan = checked(problem(square(), rules=EXACT, packs=CORNERS, kits=(kit(price=3_000, mesh=piece),)))
    assert basket_cost(plan) == (3_000, 3_000)
    assert [(cut.stock, cut.from_kit) for cut in plan.roll_groups[0].rolls] == [("kit 36", True)]


def test_a_kit_may_be_bought_for_its_hardware_alone() -> None:
    # Corners cost 20.00 a pack, the kit 9.00, and its sticks hold no rail of a 44 x 44 window.
    dear = (pack(Hardware.CORNER, 4, 2_000, fits=PROFILE),)
    plan = checked(problem(square(side=44), rules=EXACT, packs=dear, kits=(kit(price=900),)))
    assert (bought(plan)["8 ft"], bought(plan)["kit 36"]) == (2, 1)


def test_delivery_is_charged_once_and_decides_who_sells() -> None:
    # North: two sticks at 6.00 + 10.00 delivery; the shop next door: two at 8.00.
    north = stick("8 ft north", price=600, supplier="North")
    charge = (Supplier(name="North", delivery=Cents(1_000)),)
    few = checked(problem(square(), rules=EXACT, sticks=(stick(), north), suppliers=charge))
    assert (bought(few)["8 ft"], basket_cost(few)) == (2, (1_600, 1_600))
    # Six windows: 12 sticks, 72.00 + 10.00 against 96.00.
    many = checked(problem(square(quantity=6), rules=EXACT, sticks=(stick(), north), suppliers=charge))
    assert (bought(many)["8 ft north"], bought(many)["delivery by North"]) == (12, 1)
    assert basket_cost(many) == (8_200, 8_200)


def test_a_delivery_that_is_paid_anyway_makes_the_suppliers_other_goods_cheaper() -> None:
    charge = (Supplier(name="North", delivery=Cents(1_000)),)
    mesh = roll(supplier="North", price=3_000)
    north = stick("8 ft north", price=600, supplier="North")
    plan = checked(problem(square(), rules=EXACT, sticks=(stick(), north), rolls=(mesh,), suppliers=charge))
    assert basket_cost(plan) == (3_000 + 1_000 + 1_200, 5_200)


def test_a_least_number_is_paid_in_full_and_the_rest_is_left() -> None:
    plan = checked(problem(square(), rules=EXACT, sticks=(stick(minimum=5),)))
    (line,) = [line for line in plan.purchases if line.stock == "8 ft"]
    assert (line.buy, line.need, line.left, line.cost) == (5, 2, 3, 4_000)
    assert basket_cost(plan) == (4_000, 4_000)


def test_a_dearer_stick_without_a_least_number_wins_on_a_small_job() -> None:
    cheap = stick("8 ft by five", price=500, minimum=5)
    few = checked(problem(square(), rules=EXACT, sticks=(stick(), cheap)))
    assert bought(few)["8 ft"] == 2
    many = checked(problem(square(quantity=3), rules=EXACT, sticks=(stick(), cheap)))
    assert bought(many)["8 ft by five"] == 6


def test_a_least_number_of_steps_of_running_length_is_kept() -> None:
    foot = roll("by the foot", price=100, length=None, step=inches(12), minimum=10)
    plan = checked(problem(square(), rules=EXACT, rolls=(foot,)))
    assert basket_cost(plan) == (1_000, 1_000)


def test_a_kit_limit_is_kept() -> None:
    plan = checked(problem(square(quantity=3), rules=EXACT, packs=CORNERS, kits=(kit(price=100, limit=2),)))
    assert (bought(plan)["kit 36"], bought(plan)["8 ft"]) == (2, 2)


def test_a_least_number_of_kits_is_paid_in_full() -> None:
    plan = checked(problem(square(), rules=EXACT, packs=CORNERS, kits=(kit(price=300, minimum=3),)))
    (line,) = [line for line in plan.purchases if line.stock == "kit 36"]
    assert (line.buy, line.left, line.cost) == (3, 2, 900)


def test_kits_on_hand_are_opened_before_anything_is_bought() -> None:
    plan = checked(problem(square(quantity=2), rules=EXACT, packs=CORNERS, kits=(kit(on_hand=1),)))
    (use,) = plan.kits
    assert (use.on_hand, use.buy) == (1, 1)
    assert basket_cost(plan) == (1_500, 1_500)


def test_kits_on_hand_that_are_not_sold_any_more_need_no_basket() -> None:
    job = problem(square(), rules=EXACT, packs=CORNERS, kits=(kit(on_hand=1, on_sale=False),))
    plan = checked(job)
    assert names(job) == ["rails 5/16 white", f"mesh {MESH}"]
    assert (plan.total, plan.kits[0].on_hand, bought(plan)) == (6_000, 1, {"48 in x 100 ft": 1, "kit 36": 0})


def test_spares_count_in_the_decision() -> None:
    # Four corners and one spare of 1 %: the kit's four are not enough.
    rules = Rules(kerf=Ticks(0), end_trim=Ticks(0), bottoms_clearance=Ticks(0), hardware_spares=10)
    plan = checked(problem(square(), rules=rules, packs=CORNERS, kits=(kit(),)))
    assert basket_cost(plan) == (1_900, 1_900)


def test_a_job_without_any_loose_stick_is_made_from_kits() -> None:
    piece = KitMesh(mesh=MESH, width=inches(40), length=inches(48))
    plan = checked(problem(square(quantity=2), rules=EXACT, sticks=(), rolls=(), kits=(kit(mesh=piece),)))
    assert bought(plan) == {"kit 36": 2}
    assert basket_cost(plan) == (3_000, 3_000)


# What the plan says of it


def test_a_plan_says_what_of_a_kit_is_used() -> None:
    small = kit(
        sticks=(sticks(4, inches(36)),), hardware=(hardware(Hardware.CORNER, 4, PROFILE), hardware(Hardware.TAB, 6))
    )
    plan = checked(problem(square(), rules=EXACT, packs=CORNERS, kits=(small,)))
    (use,) = plan.kits
    assert [(content.what, content.there, content.used) for content in use.contents] == [
        ("stick of 36", 4, 4),
        ("corner 5/16", 4, 4),
        ("pull tab", 6, 2),
    ]
    (line,) = [line for line in plan.purchases if line.stock == "kit 36"]
    assert line.why == "used: stick of 36, 4 of 4; corner 5/16, 4 of 4; pull tab, 2 of 6"


def test_the_groups_of_a_basket_bear_its_proof() -> None:
    plan = checked(problem(square(), rules=EXACT, packs=CORNERS, kits=(kit(),)))
    assert plan.stick_groups[0].proof == plan.baskets[0].proof
    assert (plan.stick_groups[0].proof.joint, plan.stick_groups[0].proof.ending) == ("basket", Ending.PROVEN)


def test_windows_that_no_kit_makes_are_said() -> None:
    plan = checked(problem(square("A"), square("B", 44), rules=EXACT, packs=CORNERS, kits=(kit(),)))
    (way,) = [way for way in plan.alternatives if way.name == "one kit per window"]
    assert way.words == "1 of 2 windows from one kit each; the rest, and what the kits lack, in loose stock by hand"


def test_kits_that_make_no_window_are_no_way() -> None:
    plan = checked(problem(square(side=44), rules=EXACT, packs=CORNERS, kits=(kit(),)))
    (way,) = [way for way in plan.alternatives if way.name == "one kit per window"]
    assert (way.cost, way.words) == (None, "no kit on sale makes one of these windows")


def test_too_little_of_everything_names_what_falls_short() -> None:
    job = problem(
        square(quantity=2),
        rules=EXACT,
        sticks=(stick(limit=1, source="sticks!2"),),
        packs=CORNERS,
        kits=(kit(limit=1),),
    )
    with pytest.raises(ProblemError) as caught:
        solve(job, limits())
    assert str(caught.value) == (
        "sticks!2: rails 5/16 white: the sticks that can be had do not hold all 8 rails (there are: 4 of kit 36, 1 of "
        "8 ft; the longest rail is 34 1/2); raise the number that can be bought, or add a stick"
    )


def test_corners_that_cannot_be_had_are_named() -> None:
    few = (pack(Hardware.CORNER, 4, 400, fits=PROFILE, limit=0, source="packs!2"),)
    with pytest.raises(ProblemError) as caught:
        solve(problem(square(quantity=3), packs=few, kits=(kit(limit=1),)), limits())
    assert str(caught.value) == (
        "packs!2: corner: 12 for 5/16 are needed and at most 4 can be had; "
        "add a pack or raise the number that can be bought"
    )


def test_a_basket_says_that_it_values_no_leftovers() -> None:
    job = problem(square(), packs=CORNERS, kits=(kit(),), rules=replace(EXACT, leftover_value=500))
    (told,) = [notice.message for notice in checked(job).notices if "leftovers cost nothing here" in notice.message]
    assert "5/16 white" in told
    alone = problem(square(), packs=CORNERS, rules=replace(EXACT, leftover_value=500))
    assert not [notice for notice in checked(alone).notices if "leftovers cost nothing" in notice.message]
