"""What a joint buying decision asks about sticks: patterns by price, and every full pattern."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

import numpy as np

from solver.limits import Limits
from solver.sticks.bound import cost_bound, scale_for, whole_gains
from solver.sticks.effort import Effort
from solver.sticks.enumeration import columns_within
from solver.sticks.filling import Filler
from solver.sticks.grid import Column, exact_grid
from solver.sticks.model import CuttingStock, StickPattern


class Offers:
    """Answers for one set of rails and stock lengths, whatever the sticks come to cost.

    Sticks may come singly, in bundles or inside kits: the buyer's model holds
    those offers and their prices; here a stick only has a length.

    Parameters
    ----------
    problem
        Rails, kerf and stock lengths. Costs and limits are not looked at.
    limits
        Only its clock, stop and seconds matter.
    """

    MOST_PATTERNS = 50_000

    def __init__(self, problem: CuttingStock, limits: Limits) -> None:
        self.problem = problem
        self.grid = exact_grid(problem)
        self._effort = Effort(limits)
        self._filler = Filler(self.grid, self._effort)

    def patterns(self, rails: Sequence[float]) -> tuple[tuple[StickPattern, float], ...]:
        """Return for each stock length the pattern worth most, and its worth.

        Parameters
        ----------
        rails
            What each rail is worth, 0 or more, shape (n_rails,); for instance
            the duals of the rows that want the rails.
        """
        scale = scale_for([max(1, int(sum(rails)) + 1)])
        gains = whole_gains(np.array(rails, np.float64), scale)
        filling = self._filler.fill(gains, np.array(self.grid.demand, np.int64))
        found = []
        for size, pattern in zip(self.grid.sizes, filling.patterns, strict=True):
            worth = sum(rails[i] * times for i, times in pattern)
            found += [
                (StickPattern(stock=number, rails=pattern, copies=1), worth) for number in size.members if pattern
            ]
        return tuple(sorted(found, key=lambda entry: entry[0].stock))

    def full_patterns(self) -> tuple[StickPattern, ...] | None:
        """Return every pattern to which no further rail can be added, or None if there are too many."""
        zero = np.zeros(len(self.grid.weights), np.int64)
        least = [0] * len(self.grid.sizes)
        columns: list[Column] | None = columns_within(
            self.grid, self.grid.demand, zero, least, self._effort, most=self.MOST_PATTERNS
        )
        if columns is None:
            return None
        return tuple(
            StickPattern(stock=number, rails=pattern, copies=1)
            for s, pattern in columns
            for number in self.grid.sizes[s].members
        )

    def bound(self, rails: Sequence[float], costs: Sequence[int]) -> Fraction:
        """Return an exact lower bound on the cost of sticks for all rails, if each stock length costs ``costs``.

        Parameters
        ----------
        rails
            What each rail is worth; any numbers give a valid bound, good ones a high one.
        costs
            Least cost of a stick of each stock number, over 0.
        """
        sizes = [min(costs[number] for number in size.members) for size in self.grid.sizes]
        scale = scale_for(sizes)
        gains = whole_gains(np.array(rails, np.float64), scale)
        filling = self._filler.fill(gains, np.array(self.grid.demand, np.int64))
        return cost_bound(sizes, [None] * len(sizes), self.grid.demand, gains, filling, scale)
