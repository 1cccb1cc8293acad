"""A search around crosscuts keeps every blank, even where the same crosscut is written twice."""

from __future__ import annotations

from collections import Counter

import numpy as np

from solver.limits import Limits
from solver.rolls.crosscuts import CrosscutPricing
from solver.rolls.demand import ordered_demand
from solver.rolls.effort import Effort
from solver.rolls.model import Blank, RollNesting, RollWidth
from solver.rolls.neighbourhood import Neighbourhood
from solver.rolls.standing import Standing


def test_a_crosscut_written_twice_is_still_cut_twice() -> None:
    blanks = tuple(Blank(across=across, along=along, count=4) for across, along in ((3, 5), (4, 6), (5, 7)))
    roll = RollWidth(width=12, length=None, cost=1)
    demand = ordered_demand(RollNesting(blanks=blanks, rolls=(roll,)))
    effort = Effort(Limits())
    standing = Standing(demand, effort, CrosscutPricing(demand, effort))
    pricing = standing.pricing
    chosen = [(pricing.made(np.array([lay]), np.array([1])), 0, 2) for lay in (0, 1, 2) for _ in range(2)]
    standing.learn_cut()
    search = Neighbourhood(standing.master, effort, standing.chance, np.ones(1), [30])
    for _ in range(6):
        chosen = search.improved(chosen) or chosen
        held: Counter[int] = Counter()
        for crosscut, _, copies in chosen:
            for kind, count in crosscut.counts:
                held[kind] += count * copies
        assert held == Counter(dict(enumerate(demand.counts.tolist())))
