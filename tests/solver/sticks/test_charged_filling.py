"""Filling under rows that charge or pay, against counting every filling."""

from __future__ import annotations

from itertools import product

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from solver.limits import Limits
from solver.sticks.charges import ChargedFiller, Share
from solver.sticks.effort import Effort
from solver.sticks.grid import exact_grid
from solver.sticks.model import CuttingStock, StockLength


@settings(max_examples=60, deadline=None)
@given(st.data())
def test_no_filling_is_worth_more_than_the_one_found(draw: st.DataObject) -> None:
    lengths = draw.draw(st.lists(st.integers(2, 30), min_size=3, max_size=5, unique=True))
    n = len(lengths)
    counts = draw.draw(st.lists(st.integers(1, 3), min_size=n, max_size=n))
    problem = CuttingStock(
        lengths=tuple(sorted(lengths, reverse=True)),
        counts=tuple(counts),
        kerf=0,
        stock=(StockLength(length=40, cost=1),),
    )
    grid = exact_grid(problem)
    gains = np.array(draw.draw(st.lists(st.integers(0, 60), min_size=n, max_size=n)), np.int64)
    shares = [Share((0, 1, 2), 2), Share((0, n - 1), 1, at_least=True), Share((1, 2), 0)]
    charges = [draw.draw(st.integers(0, 30)), -draw.draw(st.integers(0, 30)), draw.draw(st.integers(0, 30))]
    found = ChargedFiller(grid, Effort(Limits())).fill(gains, np.array(counts), shares, charges, [-1], 10_000)
    best = 0
    for copies in product(*(range(count + 1) for count in counts)):
        pattern = tuple((i, times) for i, times in enumerate(copies) if times)
        if sum(grid.weights[i] * times for i, times in pattern) <= grid.sizes[0].capacity:
            value = sum(int(gains[i]) * times for i, times in pattern)
            paid = sum(charge * share.of(pattern) for share, charge in zip(shares, charges, strict=True))
            best = max(best, value - paid)
    assert (found.values, found.sure) == ([best], [True])
    pattern = found.patterns[0] or ()
    held = sum(int(gains[i]) * times for i, times in pattern)
    assert held - sum(c * share.of(pattern) for share, c in zip(shares, charges, strict=True)) == best
