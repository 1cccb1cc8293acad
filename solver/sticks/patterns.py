"""Column generation: the patterns worth cutting, found by what rails are worth.

References
----------
Gilmore, Gomory, A linear programming approach to the cutting-stock problem,
Operations Research 9 (1961) and 11 (1963).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from solver.sticks.bound import cost_bound, scale_for, whole_gains
from solver.sticks.effort import Effort
from solver.sticks.filling import Filler, Filling, Whole
from solver.sticks.first_fit import topped_up
from solver.sticks.grid import Column, Grid
from solver.sticks.master import Master, Prices, Real


@dataclass(frozen=True, slots=True)
class Root:
    """What column generation found.

    ``bound`` is exact, in cost units; ``optimal`` says that no pattern is
    missing. ``gains`` are whole numbers, ``scale`` to a cost unit, and prove
    ``bound``.
    """

    prices: Prices | None
    bound: Fraction
    gains: Whole
    scale: int
    optimal: bool


class Generator:
    """Adds missing patterns to a master until none would lower its cost."""

    PULL = 0.6
    """How far prices are pulled towards those of the best bound, which calms them from round to round."""

    SIZES_A_ROUND = 24
    """The most sizes that get a column from one table; half as many each time the table is filled again."""

    def __init__(self, grid: Grid, filler: Filler, effort: Effort) -> None:
        self.grid = grid
        self.filler = filler
        self.effort = effort
        self.repeats = max(1, min(12, len(grid.weights) // 5))

    def run(
        self,
        master: Master,
        *,
        costs: Sequence[int],
        limits: Sequence[int | None],
        demand: Sequence[int],
        rounds: int = 10_000,
        enough: Fraction | None = None,
        quantum: Fraction | None = None,
    ) -> Root:
        """Solve the master and add columns in turn.

        Parameters
        ----------
        master
            The programme; columns are added to it.
        costs, limits, demand
            What the master stands for, in whole numbers.
        rounds
            How many times columns may be added.
        enough
            Stop as soon as the bound reaches this.
        quantum
            Stop as soon as bound and value agree after rounding up to multiples
            of this.
        """
        scale = scale_for(costs)
        best = Fraction(0)
        centre: Real | None = None
        best_gains = np.zeros(len(demand), np.int64)
        prices: Prices | None = None
        optimal = False
        for _ in range(rounds):
            found = master.solve()
            if found is None:
                break
            prices = found
            added = 0
            for pull in (self.PULL, 0.0) if centre is not None else (0.0,):
                worth = prices.rails if centre is None else pull * centre + (1 - pull) * prices.rails
                gains = whole_gains(worth, scale)
                filling = self.filler.fill(gains, np.array(demand, np.int64))
                bound = cost_bound(costs, limits, demand, gains, filling, scale)
                if bound > best or centre is None:
                    best, best_gains = bound, gains
                    overcharge = max(
                        [1.0]
                        + [
                            value / (cost * scale)
                            for value, cost, limit in zip(filling.values, costs, limits, strict=True)
                            if limit is None and cost
                        ]
                    )
                    centre = worth / overcharge
                if enough is not None and best >= enough:
                    break
                if quantum is not None and best > 0:
                    steps = best / quantum
                    reached = -(-steps.numerator // steps.denominator) * float(quantum)
                    if reached >= prices.value - 1e-7 * abs(prices.value):
                        optimal = True
                        break
                added = self._add(master, costs, limits, demand, prices, gains, filling, scale)
                if added:
                    break
                optimal = pull == 0.0 and filling.exact
            if not added or self.effort.over():
                break
        return Root(prices, best, best_gains, scale, optimal)

    def _add(
        self,
        master: Master,
        costs: Sequence[int],
        limits: Sequence[int | None],
        demand: Sequence[int],
        prices: Prices,
        gains: Whole,
        filling: Filling,
        scale: int,
    ) -> int:
        added = 0
        copies = np.array(demand, np.int64)
        charge = [(cost + prices.sizes[s]) * (1 + 1e-9) + 64 / scale for s, cost in enumerate(costs)]
        worth = prices.rails.tolist()
        for repeat in range(self.repeats):
            if repeat:
                filling = self.filler.fill(gains, copies)
            fresh = 0
            gaining = []
            for s, pattern in enumerate(filling.patterns):
                if pattern and limits[s] != 0:
                    gain = sum([worth[i] * times for i, times in pattern]) - charge[s]
                    if gain > 0:
                        gaining.append((-gain, s))
            gaining.sort()
            for _, s in gaining[: max(self.SIZES_A_ROUND >> repeat, 1)]:
                pattern = filling.patterns[s]
                fresh += master.add(self._full(s, pattern, demand))
                for i, _ in pattern:
                    copies[i] = 0
            if not fresh:
                break
            added += fresh
        return added

    def _full(self, s: int, pattern: tuple[tuple[int, int], ...], demand: Sequence[int]) -> Column:
        return s, topped_up(self.grid.weights, demand, self.grid.sizes[s].capacity, pattern)
