"""Jobs of many sizes: a bound from classes of sizes holds for the true sizes."""

from __future__ import annotations

import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.check import faults
from solver.limits import Limits
from solver.purchase.basket.classes import fewer_blanks, fewer_rails, rounded_down
from solver.rolls.model import Blank
from solver.solve import solve
from solver.sticks.model import CuttingStock, StockLength
from tests.solver.purchase.test_sides import blank_side, rail_side, roll_slot, stick_slot
from tests.speed.basket_jobs import Recipe, job

SIZES = st.lists(st.integers(1, 60), min_size=1, max_size=30)


@given(SIZES, st.integers(1, 9))
def test_a_class_is_never_larger_than_its_pieces(sizes: list[int], most: int) -> None:
    rounded = rounded_down(sizes, [1] * len(sizes), most)
    assert all(small <= size for small, size in zip(rounded, sizes, strict=True))
    assert min(rounded) == min(sizes)
    assert len(set(rounded)) <= most


@given(SIZES, st.integers(1, 9))
def test_larger_pieces_are_in_no_lower_class(sizes: list[int], most: int) -> None:
    sizes = sorted(sizes)
    assert rounded_down(sizes, [1] * len(sizes), most) == sorted(rounded_down(sizes, [1] * len(sizes), most))


def test_classes_keep_the_number_of_pieces() -> None:
    chance = random.Random(1)
    blanks = [Blank(across=chance.randint(10, 40), along=chance.randint(10, 60), count=2) for _ in range(200)]
    assert sum(blank.count for blank in fewer_blanks(blanks, 16)) == 400
    assert len(fewer_blanks(blanks, 16)) <= 16
    rails = CuttingStock(
        lengths=tuple(range(60, 10, -1)), counts=(3,) * 50, kerf=1, stock=(StockLength(length=96, cost=1),)
    )
    assert sum(fewer_rails(rails, 7).counts) == 150
    assert len(fewer_rails(rails, 7).lengths) <= 7


def test_the_first_cut_of_rails_holds_for_any_purchase_that_suffices() -> None:
    side = rail_side([40, 30, 20], stick_slot(0, 96, 900), stick_slot(1, 48, None))
    cut = side.first_cut()
    assert cut is not None
    worth = dict(cut.room)
    assert worth[0] >= cut.need
    assert 2 * worth[1] >= cut.need - worth[1]


def test_the_first_cut_of_blanks_holds_for_any_purchase_that_suffices() -> None:
    side = blank_side([(20, 30), (22, 40)], roll_slot(0, 48, 84, 900))
    cut = side.first_cut()
    assert cut is not None
    assert dict(cut.room)[0] >= cut.need


def test_pieces_that_fit_no_loose_stock_give_no_first_cut() -> None:
    assert rail_side([40], stick_slot(0, 48, None)).first_cut() is None
    assert blank_side([(50, 60)], roll_slot(0, 60, 84, 900), roll_slot(1, 48, None, 90)).first_cut() is not None


@pytest.mark.slow
def test_two_thousand_sizes_have_a_bound_within_a_tenth() -> None:
    problem = job(Recipe(screens=2_000, sorts=2_000, mesh_kits=True, deliveries=True), 1)
    plan = solve(problem, Limits(work=6_000))
    assert faults(problem, plan) == []
    assert plan.total is not None
    assert plan.bound is not None
    assert plan.total <= 1.1 * plan.bound
    by_hand = next(way.cost for way in plan.alternatives if way.name == "loose stock by hand")
    assert by_hand is None or plan.total <= by_hand
