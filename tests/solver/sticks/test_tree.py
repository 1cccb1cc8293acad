"""Cuts and branches decide a packing as trying every way does."""

from __future__ import annotations

import random

from hypothesis import given, settings
from hypothesis import strategies as st

from solver.limits import Limits
from solver.sticks.effort import Effort
from solver.sticks.grid import exact_grid
from solver.sticks.master import Master
from solver.sticks.model import CuttingStock, StockLength
from solver.sticks.tree import Decision, Tree


def packs(lengths: list[int], sticks: list[int]) -> bool:
    """Whether rails, longest first, fit: every rail into every stick that has room."""
    if not lengths:
        return True
    return any(
        packs(lengths[1:], [room - lengths[0] if k == n else room for k, room in enumerate(sticks)])
        for n, room in enumerate(sticks)
        if room >= lengths[0] and room not in sticks[:n]
    )


def question(rails: list[int], capacities: list[int], spare: int) -> tuple[CuttingStock, list[int]]:
    """Return rails with just so many sticks, about what they need and ``spare``, and the sticks one by one."""
    lengths = sorted(set(rails), reverse=True)
    left = sum(rails) + spare
    stock: list[StockLength] = []
    for capacity in capacities:
        count = max(1, left // capacity // (2 if len(capacities) == 2 and not stock else 1))
        stock.append(StockLength(length=capacity, cost=1, limit=count))
        left -= capacity * count
    counts = tuple(rails.count(length) for length in lengths)
    problem = CuttingStock(lengths=tuple(lengths), counts=counts, kerf=0, stock=tuple(stock))
    return problem, [size.length for size in stock for _ in range(size.limit or 0)]


def decided(problem: CuttingStock) -> Decision:
    grid = exact_grid(problem)
    effort = Effort(Limits())
    vector = tuple(size.limit or 0 for size in grid.sizes)
    master = Master(
        weights=grid.weights,
        demand=grid.demand,
        costs=[0] * len(vector),
        limits=list(vector),
        effort=effort,
        scaled=True,
    )
    return Tree(grid, vector, master, effort).decide(5_000)


@settings(max_examples=40, deadline=None)
@given(
    st.lists(st.integers(9, 47), min_size=4, max_size=9),
    st.lists(st.integers(48, 60), min_size=1, max_size=2, unique=True),
    st.integers(-3, 12),
)
def test_what_is_decided_is_what_trying_every_way_says(rails: list[int], capacities: list[int], spare: int) -> None:
    problem, rooms = question(rails, capacities, spare)
    decision = decided(problem)
    if decision.decided:
        assert (decision.packing is not None) == packs(sorted(rails, reverse=True), rooms)
    else:
        assert decision.packing is None


def test_few_questions_stay_open() -> None:
    # Where every two rails share a whole number of sticks, but no column stands whole, the tree gives up.
    chance = random.Random(1)
    open_questions = 0
    for _ in range(100):
        rails = [chance.randint(9, 47) for _ in range(chance.randint(4, 9))]
        capacities = chance.sample(range(48, 61), chance.randint(1, 2))
        problem, _ = question(rails, capacities, chance.randint(-3, 12))
        open_questions += not decided(problem).decided
    assert open_questions <= 5
