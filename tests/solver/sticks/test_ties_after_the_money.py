"""Among equally cheap plans: less stick length, useful offcuts, few patterns, in that order."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings

from solver.errors import RecordError
from solver.limits import Limits
from solver.sticks import Ties, cut
from solver.sticks.model import CuttingPlan, CuttingStock, StockLength
from solver.sticks.offcuts import OffcutWorth
from tests.solver.sticks.recount import broken_rules
from tests.solver.sticks.small_jobs import small_jobs

TWELVE = Ties(useful_offcut=12)


def offcuts(problem: CuttingStock, plan: CuttingPlan) -> list[int]:
    return sorted(
        problem.stock[pattern.stock].length - sum((problem.lengths[i] + problem.kerf) * n for i, n in pattern.rails)
        for pattern in plan.patterns
        for _ in range(pattern.copies)
    )


def planned(problem: CuttingStock, ties: Ties | None) -> CuttingPlan:
    plan = cut(problem, Limits(), ties)
    assert broken_rules(problem, plan) == []
    return plan


def test_of_two_sticks_at_one_price_the_shorter_is_taken() -> None:
    # Neither price nor fit tells 84 from 96; the rack keeps the longer.
    stock = (StockLength(length=96, cost=10), StockLength(length=84, cost=10))
    plan = planned(CuttingStock(lengths=(40,), counts=(2,), kerf=0, stock=stock), TWELVE)
    assert [stock[pattern.stock].length for pattern in plan.patterns] == [84]


def test_one_long_offcut_is_better_than_two_short_ones() -> None:
    # Two sticks of 100 for 40, 40, 30, 30 leave 30 and 30, or 20 and 40, or nothing and 60.
    problem = CuttingStock(lengths=(40, 30), counts=(2, 2), kerf=0, stock=(StockLength(length=100, cost=10),))
    assert offcuts(problem, planned(problem, replace(TWELVE, useful_offcut=20))) == [0, 60]


def test_no_offcut_is_left_just_too_short_to_keep() -> None:
    # 96 - 2 x 44 = 8 is scrap, 96 - 44 - 30 = 22 is worth keeping.
    problem = CuttingStock(lengths=(44, 30), counts=(2, 2), kerf=0, stock=(StockLength(length=96, cost=10),))
    assert offcuts(problem, planned(problem, replace(TWELVE, useful_offcut=20))) == [22, 22]


def test_fewer_patterns_where_the_offcuts_are_alike() -> None:
    # Nothing is left over however it is cut: two sticks alike are set up once.
    problem = CuttingStock(lengths=(60, 40), counts=(6, 6), kerf=0, stock=(StockLength(length=100, cost=10),))
    assert len(planned(problem, TWELVE).patterns) == 1


def test_what_is_ignored_does_not_choose() -> None:
    stock = (StockLength(length=96, cost=10), StockLength(length=84, cost=10))
    problem = CuttingStock(lengths=(40,), counts=(2,), kerf=0, stock=stock)
    ignored = Ties(least_length=False, useful_offcuts=False, few_patterns=False)
    assert planned(problem, ignored).patterns == planned(problem, None).patterns


@pytest.mark.slow
@settings(max_examples=20, deadline=None)
@given(small_jobs())
def test_ties_never_touch_the_money(problem: CuttingStock) -> None:
    bare, tidy = planned(problem, None), planned(problem, TWELVE)
    assert (tidy.cost, tidy.bound, tidy.ending) == (bare.cost, bare.bound, bare.ending)


@pytest.mark.slow
@settings(max_examples=8, deadline=None)
@given(small_jobs())
def test_ties_come_out_the_same_twice(problem: CuttingStock) -> None:
    assert planned(problem, TWELVE) == planned(problem, TWELVE)


def test_an_offcut_of_almost_useful_length_counts_most_against() -> None:
    worth = OffcutWorth(useful=12)
    assert worth.rough(11) < worth.rough(6) < worth.rough(0) < worth.rough(12) < worth.rough(24)


def test_a_share_over_the_whole_is_refused() -> None:
    with pytest.raises(RecordError, match="0 to 1000 per mille"):
        Ties(share=1001)
