"""The cost of one plan, shared out to its orders."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from solver.catalogue import Hardware, Supplier
from solver.money import Cents
from solver.pooling import Belonging, cost_shares, largest_remainder
from solver.solve import solve
from tests.builders import PROFILE, limits, opening, pack, problem, stick


@given(st.integers(0, 10**9), st.lists(st.integers(0, 10**6), min_size=1, max_size=30))
def test_shares_add_up_to_the_cent_and_miss_the_exact_share_by_less_than_one(amount: int, weights: list[int]) -> None:
    shares = largest_remainder(amount, weights)
    assert sum(shares) == amount
    total = sum(weights)
    if total:
        assert all(abs(share * total - amount * weight) < total for share, weight in zip(shares, weights, strict=True))


def test_two_orders_alike_pay_alike() -> None:
    job = problem(opening("A", order="7"), opening("B", order="8"))
    shares = cost_shares(job, solve(job, limits()))
    assert [(share.order, share.sticks, share.mesh) for share in shares] == [("7", 1_600, 3_000), ("8", 1_600, 3_000)]


def test_an_order_of_three_screens_pays_three_times_as_much_hardware() -> None:
    job = problem(
        opening("A", order="7", quantity=3),
        opening("B", order="8"),
        packs=(pack(Hardware.CORNER, 100, 800, fits=PROFILE),),
    )
    shares = cost_shares(job, solve(job, limits()))
    assert [(share.screens, share.hardware) for share in shares] == [(3, 600), (1, 200)]


def test_the_delivery_is_shared_by_what_everything_else_costs() -> None:
    job = problem(
        opening("A", order="7", quantity=3),
        opening("B", order="8"),
        sticks=(stick(supplier="yard"),),
        suppliers=(Supplier(name="yard", delivery=Cents(1_000)),),
    )
    plan = solve(job, limits())
    shares = cost_shares(job, plan)
    assert sum(share.delivery for share in shares) == 1_000
    assert sum(share.total for share in shares) == plan.total


def test_orders_can_be_units_or_phases() -> None:
    job = problem(opening("A", unit="101", phase="1"), opening("B", unit="102", phase="1"))
    plan = solve(job, limits())
    assert [share.order for share in cost_shares(job, plan, Belonging.UNIT)] == ["101", "102"]
    assert [share.total for share in cost_shares(job, plan, Belonging.PHASE)] == [plan.total]


def test_without_prices_nobody_pays() -> None:
    job = problem(opening("A", order="7"), sticks=(stick(price=None),))
    shares = cost_shares(job, solve(job, limits()))
    assert shares[0].sticks == 0
