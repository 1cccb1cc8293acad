"""Crosscut lengths for three stages: those of single blanks, and of blanks that follow each other in a strip."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from solver.rolls.crosscuts import Crosscut
from solver.rolls.demand import Demand, Whole
from solver.rolls.filled import Filled, FilledRoll

MOST_COMBINED = 60
"""Combined lengths that are tried beside those of single blanks."""
TIMES_LONGEST = 2
"""Times the longest blank that a combined crosscut may be long."""


def combined_lengths(demand: Demand) -> Demand:
    """Return the same demand with lengths of two blanks and more among its crosscut lengths.

    A length is only a cap: a crosscut is as long as the longest strip in it. So
    where there are more sums than are tried, every so many-th of them will do.
    No crosscut gets longer than the longest that a table or a roll takes.

    Examples
    --------
    Blanks 5 and 4 long on a roll: two blanks make 8, 9 or 10.

    >>> from solver.rolls.demand import ordered_demand
    >>> from solver.rolls.model import Blank, RollNesting, RollWidth
    >>> blanks = (Blank(across=3, along=5, count=2), Blank(across=2, along=4, count=9))
    >>> roll = RollWidth(width=8, length=None, cost=1)
    >>> combined_lengths(ordered_demand(RollNesting(blanks=blanks, rolls=(roll,)))).lengths.tolist()
    [4, 5, 8, 9, 10]
    """
    single = demand.lengths - demand.extra
    longest = min(TIMES_LONGEST * int(single[-1]), int(demand.reach.max()) - demand.extra)
    if demand.problem.longest_crosscut:
        longest = min(longest, demand.problem.longest_crosscut // demand.length_unit)
    sums = _sums(single, longest)
    if len(sums) > MOST_COMBINED:
        sums = sums[np.linspace(0, len(sums) - 1, MOST_COMBINED).astype(np.int64)]
    lengths = np.unique(np.concatenate([single, sums]))
    place = np.searchsorted(lengths, single)
    ends = np.concatenate([place, [len(lengths)]])
    return replace(demand, lengths=lengths + demand.extra, start=place[demand.start], stop=ends[demand.stop])


def _sums(single: Whole, longest: int) -> Whole:
    """Return the lengths of two and more blanks up to ``longest``, rising."""
    found = single[:0]
    ends = single
    while len(ends):
        together = np.unique(ends[:, None] + single[None, :])
        ends = np.setdiff1d(together[together <= longest], found)
        found = np.union1d(found, ends)
    return found


def moved(demand: Demand, crosscut: Crosscut) -> Crosscut:
    """Return a two-stage crosscut with the number its length has in ``demand``."""
    if crosscut.strips:
        return crosscut
    return replace(crosscut, span=int(np.searchsorted(demand.lengths, crosscut.length)))


def moved_plan(demand: Demand, filled: Filled) -> Filled:
    """Return a two-stage plan with the numbers its crosscut lengths have in ``demand``."""
    return tuple(
        FilledRoll(
            offer=roll.offer,
            crosscuts=tuple((moved(demand, crosscut), copies) for crosscut, copies in roll.crosscuts),
            copies=roll.copies,
        )
        for roll in filled
    )
