"""Crosscuts taken apart and built anew hold the same blanks and never take more length."""

from __future__ import annotations

from collections import Counter
from random import Random

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from solver.limits import Limits
from solver.rolls.crosscuts import CrosscutPricing
from solver.rolls.demand import Demand, ordered_demand
from solver.rolls.effort import Effort
from solver.rolls.model import Blank, RollNesting, RollWidth
from solver.rolls.recreate import Recreating
from solver.rolls.trimming import Chosen

SIZES = st.builds(
    Blank, across=st.integers(2, 9), along=st.integers(2, 9), count=st.integers(1, 3), turns=st.booleans()
)


def _one_by_one(demand: Demand, pricing: CrosscutPricing) -> Chosen:
    """Return a crosscut of its own for each blank, on the widest roll."""
    first = {int(kind): lay for lay, kind in reversed(list(enumerate(demand.lay_kind)))}
    last = len(demand.widths) - 1
    return [
        (pricing.made(np.array([first[kind]]), np.array([1])), last, int(count))
        for kind, count in enumerate(demand.counts)
    ]


@settings(max_examples=40, deadline=None)
@given(st.lists(SIZES, min_size=1, max_size=6), st.integers(0, 9), st.floats(0.0, 0.3))
def test_the_same_blanks_on_no_more_length(blanks: list[Blank], seed: int, heat: float) -> None:
    rolls = tuple(RollWidth(width=width, length=None, cost=width) for width in (9, 14))
    demand = ordered_demand(RollNesting(blanks=tuple(blanks), rolls=rolls))
    pricing = CrosscutPricing(demand, Effort(Limits()))
    start = _one_by_one(demand, pricing)
    search = Recreating(
        pricing, Effort(Limits()), Random(seed), np.array([0.6, 1.0]), None, np.ones(len(demand.counts))
    )
    found = search.improved(start, 12, heat)
    held: Counter[int] = Counter()
    for crosscut, width, copies in found:
        assert crosscut.width <= demand.widths[width]
        for kind, count in crosscut.counts:
            held[kind] += count * copies
    assert held == Counter(dict(enumerate(demand.counts.tolist())))
    assert search.value(found) <= search.value(start) + 1e-6


def test_what_is_beyond_the_room_moves_to_the_other_width() -> None:
    rolls = tuple(RollWidth(width=width, length=20, cost=width) for width in (10, 11))
    blanks = tuple(Blank(across=across, along=10, count=2) for across in (7, 10))
    demand = ordered_demand(RollNesting(blanks=blanks, rolls=rolls))
    pricing = CrosscutPricing(demand, Effort(Limits()))
    start = [(pricing.made(np.array([lay]), np.array([1])), 1, 2) for lay in (0, 1)]
    search = Recreating(pricing, Effort(Limits()), Random(1), np.ones(2), [2, 2], np.ones(2))
    assert search.overflow(start) == 2
    assert search.overflow(search.improved(start, 40, 0.0)) == 0


def test_the_same_seed_gives_the_same_crosscuts() -> None:
    roll = RollWidth(width=20, length=None, cost=1)
    blanks = tuple(Blank(across=3 + n % 5, along=4 + n, count=2) for n in range(8))
    demand = ordered_demand(RollNesting(blanks=blanks, rolls=(roll,)))
    pricing = CrosscutPricing(demand, Effort(Limits()))
    start = _one_by_one(demand, pricing)

    def found() -> Chosen:
        return Recreating(pricing, Effort(Limits()), Random(5), np.ones(1), None, np.ones(8)).improved(start, 60, 0.05)

    assert found() == found()
