"""Bundles: how many pay, and when a bundle too many is cheaper than single sticks."""

from __future__ import annotations

import pytest

from solver.money import Cents
from solver.purchase.stock import bundles_to_buy
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
    assert bundles_to_buy(count, offer) == bundles


def test_a_bundle_never_exceeds_the_number_that_can_be_bought() -> None:
    offer = stick(price=800, bundle=10, bundle_price=Cents(6_000), limit=9)
    assert bundles_to_buy(8, offer) == 0


def test_a_stick_sold_singly_has_no_bundles() -> None:
    assert bundles_to_buy(50, stick()) == 0
