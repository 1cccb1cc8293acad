"""What sets of kinds with odd demand prove is never more than what trying everything shows."""

from __future__ import annotations

from fractions import Fraction
from itertools import product

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from solver.limits import Limits
from solver.rolls.crosscuts import Crosscut
from solver.rolls.demand import Whole
from solver.rolls.effort import Effort
from solver.rolls.odd_sets import Mask, OddSets, Supply

PRICES = (3, 2)
"""Cost of a unit of length on each width."""
COLUMNS = st.lists(
    st.tuples(
        st.integers(3, 9), st.dictionaries(st.integers(0, 2), st.integers(1, 3), min_size=1), st.integers(0, 1)
    ).map(
        lambda drawn: (
            Crosscut(length=drawn[0], width=9, counts=tuple(sorted(drawn[1].items())), span=0),
            drawn[2],
        )
    ),
    min_size=1,
    max_size=5,
)


class Bound:
    """Notes the best bound that the values prove, and keeps the crosscuts of plans at ``most`` or less."""

    def __init__(self, columns: list[tuple[Crosscut, int]], most: int) -> None:
        self.best = Fraction(0)
        self._costs = np.array([crosscut.length * PRICES[width] for crosscut, width in columns])
        self._most = most

    def __call__(self, worth: Whole, kept: Mask, need: int) -> Mask | None:
        dearest = max(Fraction(int(v), int(c)) for v, c in zip(worth[kept], self._costs[kept], strict=True))
        lowest = need / dearest
        self.best = max(self.best, min(lowest, Fraction(self._most + 1)))
        if lowest > self._most:
            return None
        spare = dearest * self._most - need
        lost = [dearest * int(c) - int(v) for v, c in zip(worth, self._costs, strict=True)]
        within: Mask = np.array([loss <= spare for loss in lost])
        return kept & within


def _plans(columns: list[tuple[Crosscut, int]], demand: list[int]) -> dict[tuple[int, ...], int]:
    """Return every plan of up to five of each crosscut that holds the demand, with its cost."""
    plans = {}
    for copies in product(range(6 if len(columns) < 4 else 4), repeat=len(columns)):
        held = [0, 0, 0]
        for (crosscut, _), n in zip(columns, copies, strict=True):
            for kind, each in crosscut.counts:
                held[kind] += each * n
        if all(h >= d for h, d in zip(held, demand, strict=True)):
            plans[copies] = sum(c.length * PRICES[w] * n for (c, w), n in zip(columns, copies, strict=True))
    return plans


def _tightened(columns: list[tuple[Crosscut, int]], demand: list[int], most: int) -> tuple[bool, Bound, Mask]:
    supplies = [Supply(3.0, (1.0, 0.0), None), Supply(2.0, (0.0, 1.0), None)]
    sets = OddSets(columns, np.array(demand), 2, supplies, Effort(Limits()), compiled=False)
    bound = Bound(columns, most)
    return sets.tightened(bound), bound, sets.kept


@given(
    columns=COLUMNS,
    demand=st.lists(st.integers(0, 3), min_size=3, max_size=3).filter(any),
    extra=st.integers(0, 8),
)
def test_every_plan_within_the_cost_keeps_its_crosscuts(
    columns: list[tuple[Crosscut, int]], demand: list[int], extra: int
) -> None:
    plans = _plans(columns, demand)
    if not plans:
        return
    least = min(plans.values())
    open_still, bound, kept = _tightened(columns, demand, least + extra)
    assert open_still
    assert bound.best <= least
    for copies, cost in plans.items():
        if cost <= least + extra:
            assert all(there for n, there in zip(copies, kept.tolist(), strict=True) if n)


@given(columns=COLUMNS, demand=st.lists(st.integers(0, 3), min_size=3, max_size=3).filter(any))
def test_a_cost_is_ruled_out_only_where_every_plan_costs_more(
    columns: list[tuple[Crosscut, int]], demand: list[int]
) -> None:
    plans = _plans(columns, demand)
    if plans:
        assert _tightened(columns, demand, min(plans.values()))[0]


def test_three_blanks_of_which_any_two_lie_side_by_side_need_two_crosscuts() -> None:
    pairs = [(Crosscut(length=4, width=9, counts=((a, 1), (b, 1)), span=0), 0) for a, b in ((0, 1), (0, 2), (1, 2))]
    open_still, bound, _ = _tightened(pairs, [1, 1, 1], 24)
    assert open_still
    assert bound.best == 24  # two crosscuts of 4 units at 3; the programme without the set says one and a half
    assert not _tightened(pairs, [1, 1, 1], 23)[0]
