"""Packs: the cheapest ones that cover a need, loose stock first, proven by an independent count."""

from __future__ import annotations

from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from solver.catalogue import Hardware, Pack
from solver.errors import ProblemError
from solver.lengths import inches
from solver.purchase.packs import cheapest_packs
from tests.builders import pack


def corners(*sizes_and_prices: tuple[int, int | None], **other: object) -> list[Pack]:
    return [pack(Hardware.CORNER, size, price, **other) for size, price in sizes_and_prices]


def test_480_corners_without_prices_are_five_packs_of_100() -> None:
    # Derived by arithmetic; pack sizes 4, 25 and 100 are from memory.
    packs = corners((100, None))
    assert cheapest_packs({"5/16": 480}, packs).buy == (5,)


def test_without_prices_the_least_surplus_is_bought_in_the_fewest_packs() -> None:
    packs = corners((4, None), (25, None), (100, None))
    choice = cheapest_packs({"5/16": 480}, packs)
    assert sum(n * p.size for n, p in zip(choice.buy, packs, strict=True)) == 480
    assert choice.buy == (20, 0, 4)


def test_1551_feet_of_spline_are_four_spools_of_500() -> None:
    # Derived by arithmetic: 120 screens x 147 3/4 in x 1.05 = 1,551.375 ft.
    need = 120 * inches(147, 3, 4) * 105 // 100
    spool = pack(Hardware.SPLINE, inches(6_000), 4_500)
    assert cheapest_packs({"0.160": need}, [spool]).buy == (4,)


def test_a_big_pack_with_a_rest_beats_small_packs_when_it_is_cheaper() -> None:
    packs = corners((4, 300), (25, 1_500), (100, 4_500))
    assert cheapest_packs({"5/16": 80}, packs).buy == (0, 0, 1)


def test_among_equal_money_the_least_surplus_is_bought() -> None:
    packs = corners((10, 1_000), (12, 1_000))
    assert cheapest_packs({"5/16": 9}, packs).buy == (1, 0)


def test_loose_stock_is_used_before_anything_is_bought() -> None:
    packs = corners((25, 1_500), on_hand=70)
    choice = cheapest_packs({"5/16": 80}, packs)
    assert (choice.loose, choice.buy) == ((70,), (1,))


def test_a_pack_for_another_profile_serves_nobody() -> None:
    packs = [*corners((4, 100), fits="3/8"), pack(Hardware.CORNER, 5, 900, fits="5/16")]
    assert cheapest_packs({"5/16": 4}, packs).buy == (0, 1)


def test_a_pack_that_fits_everything_is_shared_between_profiles() -> None:
    packs = corners((8, 500))
    assert cheapest_packs({"5/16": 4, "3/8": 4}, packs).buy == (1,)


def test_a_limit_that_is_too_low_names_the_need_and_what_can_be_had() -> None:
    packs = corners((4, 300), limit=2, on_hand=1, source="packs!2")
    with pytest.raises(ProblemError) as caught:
        cheapest_packs({"5/16": 12}, packs)
    assert str(caught.value) == (
        "packs!2: corner: 12 for 5/16 are needed and at most 9 can be had; "
        "add a pack or raise the number that can be bought"
    )


@settings(max_examples=40, deadline=None)
@given(
    need=st.integers(1, 40),
    offers=st.lists(
        st.tuples(st.integers(1, 15), st.integers(0, 900)), min_size=1, max_size=3, unique_by=lambda o: o[0]
    ),
)
def test_no_other_choice_of_packs_is_cheaper(need: int, offers: list[tuple[int, int]]) -> None:
    choice = cheapest_packs({"": need}, corners(*offers))
    paid = sum(n * price for n, (_, price) in zip(choice.buy, offers, strict=True))
    every = product(*(range(-(-need // size) + 1) for size, _ in offers))
    least = min(
        sum(n * price for n, (_, price) in zip(counts, offers, strict=True))
        for counts in every
        if sum(n * size for n, (size, _) in zip(counts, offers, strict=True)) >= need
    )
    assert paid == least
