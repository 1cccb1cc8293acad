"""The recount of kits, least numbers, deliveries and baskets: each broken rule is found, and its amount."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import cache
from typing import Any

import pytest

from solver.catalogue import Hardware, KitMesh, Supplier
from solver.check import faults
from solver.lengths import Ticks, inches
from solver.limits import Ending
from solver.money import Cents
from solver.plan import KitUse, Plan, PurchaseLine
from solver.problem import Problem
from solver.rules import Rules
from solver.solve import solve
from tests.builders import MESH, PROFILE, limits, opening, pack, problem, roll, stick
from tests.solver.purchase.offers import kit

RULES = Rules(kerf=Ticks(0), end_trim=Ticks(0), bottoms_clearance=Ticks(0))


@cache
def job() -> Problem:
    """Two windows of 36 x 36; one kit on hand, more to buy, delivered by North at 5.00, who sells no single one."""
    piece = KitMesh(mesh=MESH, width=inches(40), length=inches(48))
    return problem(
        opening("A", inches(36), inches(36), quantity=2),
        rules=RULES,
        sticks=(stick(price=5_000),),
        rolls=(roll(price=9_000),),
        packs=(pack(Hardware.CORNER, 4, 2_000, fits=PROFILE),),
        kits=(kit(mesh=piece, on_hand=1, limit=9, minimum=2, supplier="North"),),
        suppliers=(Supplier(name="North", delivery=Cents(500)),),
    )


@cache
def plan() -> Plan:
    return solve(job(), limits())


def broken(changed: Plan, problem: Problem | None = None) -> dict[str, int]:
    return {fault.rule: fault.amount for fault in faults(problem or job(), changed)}


def with_use(**other: Any) -> Plan:
    (use,) = plan().kits
    return replace(plan(), kits=(replace(use, **other),))


def with_kit(**other: Any) -> Problem:
    stock = job().catalogue
    return replace(job(), catalogue=replace(stock, kits=(replace(stock.kits[0], **other),)))


def with_line(name: str, change: Callable[[PurchaseLine], PurchaseLine | None]) -> Plan:
    lines = [change(line) if name in (line.stock, line.what) else line for line in plan().purchases]
    return replace(plan(), purchases=tuple(line for line in lines if line is not None))


def test_the_plan_at_hand_opens_one_kit_of_each_kind_and_breaks_no_rule() -> None:
    (use,) = plan().kits
    assert (use.on_hand, use.buy, plan().total) == (1, 1, 2 * 1_500 + 500)
    assert broken(plan()) == {}


def test_a_kit_that_is_cut_from_and_not_listed_is_found() -> None:
    assert broken(replace(plan(), kits=()))["a kit that is cut from is listed as opened"] == 1


def test_a_kit_nobody_sells_is_found() -> None:
    (use,) = plan().kits
    assert "only kits of the stock list are opened" in broken(replace(plan(), kits=(use, replace(use, kit="odd"))))


def test_a_kit_listed_twice_is_found() -> None:
    (use,) = plan().kits
    assert broken(replace(plan(), kits=(use, use)))["one entry for each kit"] == 1


def test_more_kits_opened_than_are_on_hand_are_found() -> None:
    assert broken(plan(), with_kit(on_hand=0))["at most 0 are on hand"] == 1


def test_more_kits_bought_than_can_be_are_found() -> None:
    # Two must be bought, and the plan uses one of them.
    assert broken(with_use(buy=10))["at most 9 can be bought"] == 1


def test_more_sticks_than_the_kits_hold_are_found() -> None:
    rules = broken(with_use(buy=0))
    assert rules["no more than the 4 there are"] >= 1
    assert "the purchase list counts the kits opened" in rules


def test_contents_that_say_something_else_than_the_cuts_are_found() -> None:
    (use,) = plan().kits
    first, *others = use.contents
    wrong = (replace(first, used=first.used - 1), *others)
    assert "the contents listed are those there and cut" in broken(with_use(contents=wrong))


def test_hardware_that_is_not_in_the_kits_is_found() -> None:
    (use,) = plan().kits
    wrong = tuple(replace(c, used=9) if c.hardware is Hardware.CORNER else c for c in use.contents)
    assert broken(with_use(contents=wrong))["no more than the 8 there are"] == 1


def test_a_kit_without_a_line_is_found() -> None:
    assert broken(with_line("kit 36", lambda line: None))["a line for a kit that is opened, no other"] == 0


def test_fewer_than_the_least_number_sold_are_found() -> None:
    fewer = with_line("kit 36", lambda line: replace(line, buy=1, left=0, cost=line.price))
    assert broken(fewer)["no fewer than 2 are sold"] == 1


def test_a_price_that_is_not_the_stock_lists_is_found() -> None:
    cheaper = with_line("kit 36", lambda line: replace(line, price=Cents(1_000), cost=Cents(2_000)))
    assert "in the size and at the price of the stock list" in broken(cheaper)


def test_somebody_elses_kit_is_found() -> None:
    assert broken(with_line("kit 36", lambda line: replace(line, supplier="South")))["bought from who sells it"] == 2


def test_a_delivery_that_is_not_charged_is_found() -> None:
    free = with_line("delivery by North", lambda line: None)
    assert broken(free)["charged once where anything is bought there"] == -500


def test_a_delivery_by_somebody_who_sells_nothing_is_found() -> None:
    stock = job().catalogue
    suppliers = (*stock.suppliers, Supplier(name="South", delivery=Cents(100)))
    other = replace(job(), catalogue=replace(stock, suppliers=suppliers))
    (line,) = [line for line in plan().purchases if line.what == "delivery by North"]
    twice = replace(line, what="delivery by South", supplier="South", price=Cents(100), cost=Cents(100))
    wrong = replace(plan(), purchases=(*plan().purchases, twice))
    assert broken(wrong, other)["charged once where anything is bought there"] == 100


def test_something_nobody_sells_is_found() -> None:
    odd = with_line("kit 36", lambda line: replace(line, stock="odd"))
    assert broken(odd)["only what the stock list sells is bought"] == 2


def test_a_basket_costs_what_its_lines_cost() -> None:
    (basket,) = plan().baskets
    dear = replace(basket.proof, cost=basket.proof.cost + 1, bound=basket.proof.bound + 1)
    groups: dict[str, Any] = {
        "stick_groups": tuple(replace(group, proof=dear) for group in plan().stick_groups),
        "roll_groups": tuple(replace(group, proof=dear) for group in plan().roll_groups),
    }
    wrong = replace(plan(), baskets=(replace(basket, proof=dear),), **groups)
    assert broken(wrong)["the cost is that of the stock bought"] == 1


def test_a_group_bears_the_proof_of_its_basket() -> None:
    (group,) = plan().stick_groups
    wrong = replace(group, proof=replace(group.proof, bound=0, ending=Ending.WORK))
    assert broken(replace(plan(), stick_groups=(wrong,)))["a group of a basket bears its proof"] == 1


@pytest.mark.parametrize("missing", ["stick_groups", "roll_groups"])
def test_a_basket_lists_its_groups(missing: str) -> None:
    (basket,) = plan().baskets
    words: dict[str, Any] = {missing: ()}
    wrong = replace(plan(), baskets=(replace(basket, **words),))
    assert {"a basket lists its rails", "a basket lists its meshes"} & broken(wrong).keys()


def test_a_kit_use_is_what_the_documents_show() -> None:
    assert isinstance(plan().kits[0], KitUse)
