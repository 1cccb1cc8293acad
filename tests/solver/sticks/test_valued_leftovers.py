"""Leftovers charged at a value while planning: what is paid stays what is paid."""

from __future__ import annotations

from solver.limits import Limits
from solver.sticks import cut_valuing_leftovers
from solver.sticks.model import CuttingStock, StockLength


def test_free_sticks_are_never_paid_for_by_the_bundle_however_high_their_value() -> None:
    new = StockLength(length=100, cost=50)
    free = StockLength(length=100, cost=0, limit=2, bundle=(2, 1))
    rails = CuttingStock(lengths=(60,), counts=(3,), kerf=0, stock=(new, free))
    plan = cut_valuing_leftovers(rails, Limits(), per_mille=900)
    assert (plan.cost, plan.ending.value) == (50, "proven")
