"""Bundles: how many pay, and when a bundle too many is cheaper than single sticks."""

from __future__ import annotations

import pytest

from solver.money import Cents
from solver.purchase.stock import sticks_to_buy
from tests.builders import stick


@pytest.mark.parametrize(
    ("count", "bundles"),
    [
        (4, 0),  # 4 singles 32.00, a bundle 60.00
        (7, 0),  # 7 singles 56.00
        (8, 1),  # 8 singles 64.00: ten for 60.00 are cheaper
        (12, 1),  # a bundle and two singles 76.00, two bundles 120.00
        (18, 2),  # 60.00 + 64.00 against 120.00
    ],
)
def test_a_bundle_is_bought_where_it_is_cheaper_than_singles(count: int, bundles: int) -> None:
    offer = stick(price=800, bundle=10, bundle_price=Cents(6_000))
    assert sticks_to_buy(count, offer).bundles == bundles


def test_a_bundle_never_exceeds_the_number_that_can_be_bought() -> None:
    offer = stick(price=800, bundle=10, bundle_price=Cents(6_000), limit=9)
    assert sticks_to_buy(8, offer).bundles == 0


def test_a_stick_sold_singly_has_no_bundles() -> None:
    assert sticks_to_buy(50, stick()).bundles == 0


def test_a_least_number_is_bought_even_where_fewer_would_do() -> None:
    quantity = sticks_to_buy(3, stick(price=800, minimum=5))
    assert (quantity.singles, quantity.cost) == (5, 4_000)


def test_a_least_number_may_come_in_a_bundle() -> None:
    quantity = sticks_to_buy(3, stick(price=800, bundle=10, bundle_price=Cents(4_500), minimum=6))
    assert (quantity.bundles, quantity.cost) == (1, 4_500)


def test_nothing_is_bought_where_nothing_is_needed() -> None:
    assert sticks_to_buy(0, stick(minimum=5)).cost == 0
