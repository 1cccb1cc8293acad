"""The search for the cheapest packing: start, columns, dives, purchase vectors."""

from __future__ import annotations

import random
from fractions import Fraction

import numpy as np

from solver.limits import Ending
from solver.sticks.dive import Diver, Finish, joined
from solver.sticks.effort import Effort
from solver.sticks.exact import trimmed
from solver.sticks.filling import Filler
from solver.sticks.first_fit import fullest_first_fit
from solver.sticks.grid import Column, Grid, Packing
from solver.sticks.master import Master
from solver.sticks.neighbourhood import Neighbourhood, cut_part
from solver.sticks.patterns import Generator
from solver.sticks.vectors import VectorSearch


class Search:
    """Holds the best packing, the best bound and every pattern met.

    Parameters
    ----------
    grid
        The problem; some packing must exist.
    effort
        Limits and work counter.
    seed
        For everything random.
    start
        A packing to start from.
    """

    SMALL = 450
    """Rails up to which purchase vectors are tried before neighbourhoods."""
    VAST = 10_000
    """Rails from which several dives come first: what one rounds badly is too much to repair piece by piece."""
    VAST_DIVES = 4
    MANY_ALIKE = 200
    """Rails of a length from which one dive does: the more are alike, the less rounding loses."""

    def __init__(self, grid: Grid, effort: Effort, seed: int, *, start: Packing | None = None) -> None:
        self.grid = grid
        self.effort = effort
        self.seed = seed
        self.filler = Filler(grid, effort)
        self.generator = Generator(grid, self.filler, effort)
        self.costs = [size.cost for size in grid.sizes]
        self.limits = [size.limit for size in grid.sizes]
        self.pool: set[Column] = set()
        self.bound = 0
        self._gains: list[float] = [0.0] * len(grid.weights)
        self.worth = [1] * len(grid.sizes)
        self._near = Neighbourhood(grid, seed)
        self._vectors = VectorSearch(grid, effort, self.filler, self.generator, seed)
        first, _ = fullest_first_fit(grid, grid.demand, self.limits)
        self.packing = trimmed(grid, first)
        self.cost = grid.packing_cost(self.packing)
        if start is not None:
            self.offer(start)

    def run(self) -> Ending:
        """Search until the best packing is proven or the limits are reached."""
        self.effort.report(self.cost, self.bound)
        rails = sum(self.grid.demand)
        large = rails > self.SMALL
        self._root()
        if not self._done():
            spread = self.VAST < rails < self.MANY_ALIKE * len(self.grid.demand)
            self._dives(self.VAST_DIVES if spread else 1, finish=self._finish if large else None)
        failures = 12
        while not self._done():
            if large:
                self._neighbourhoods(failures)
            before = self.cost, self.bound
            if not self._done() and not self._vectors.run(self, 1):
                break
            large = large or self.bound == before[1]
            failures = min(80, failures * 2)
        return self._ending()

    def run_part(self) -> Ending:
        """Search a part of a larger problem: a dive, then purchase vectors with little effort each."""
        self._root()
        if not self._done():
            self._dives(1, finish=None)
        if not self._done():
            self._vectors.run(self, 1)
        return self._ending()

    def _ending(self) -> Ending:
        if self.cost == self.bound:
            return Ending.PROVEN
        return self.effort.over() or Ending.EXHAUSTED

    def offer(self, packing: Packing) -> bool:
        """Take over a complete packing if it is cheaper; return whether it was."""
        exact = trimmed(self.grid, packing)
        cost = self.grid.packing_cost(exact)
        if cost >= self.cost:
            return False
        self.packing, self.cost = exact, cost
        self.effort.report(self.cost, self.bound)
        return True

    def raise_bound(self, bound: int) -> None:
        """Take over a proven bound."""
        if bound > self.bound:
            self.bound = min(bound, self.cost)
            self.effort.report(self.cost, self.bound)

    def _done(self) -> bool:
        return self.cost == self.bound or self.effort.over() is not None

    @property
    def _penalty(self) -> float:
        return 10.0 * max(self.costs) / self.grid.weights[-1] + 1.0

    def _root(self) -> None:
        """Generate columns and take over the bound and what rails and sticks are worth."""
        grid = self.grid
        master = Master(
            weights=grid.weights,
            demand=grid.demand,
            costs=self.costs,
            limits=self.limits,
            effort=self.effort,
            penalty=self._penalty,
        )
        for column in self.packing:
            master.add(column)
        root = self.generator.run(
            master,
            costs=self.costs,
            limits=self.limits,
            demand=grid.demand,
            enough=Fraction((self.cost - grid.step) * grid.share) + Fraction(1, 1_000_000),
            quantum=Fraction(grid.step * grid.share),
        )
        self.pool = set(master.columns)
        self.raise_bound(grid.round_up(root.bound))
        self._gains = [int(gain) / root.scale for gain in root.gains]
        values = self.filler.fill(root.gains, np.array(grid.demand, np.int64)).values
        spare = max(0, max(1, *values).bit_length() - 24)
        self.worth = [value >> spare for value in values]

    def _dives(self, times: int, finish: Finish | None) -> None:
        grid = self.grid
        diver = Diver(
            grid,
            self.generator,
            self.effort,
            costs=self.costs,
            limits=self.limits,
            penalty=self._penalty,
            finish=finish,
        )
        for attempt in range(times):
            chance = random.Random(self.seed * 77 + attempt) if attempt else None
            found, seen = diver.dive(grid.demand, sorted(self.pool), below=self.cost * grid.share, chance=chance)
            self.pool |= seen
            if found is not None:
                self.offer(found)
            if self._done():
                return

    def _finish(self, fixed: Packing, left: list[int], limits: list[int | None]) -> Packing | None:
        """Cut the last rails of a dive as a problem of their own."""
        rest = cut_part(self.grid, left, limits, None, self._cut_anew)
        return None if rest is None else joined(fixed, rest)

    def _cut_anew(self, part: Grid, start: Packing | None) -> Packing | None:
        search = Search(part, self.effort.portion(1_000), self.seed, start=start)
        before = search.cost
        search.run_part()
        return search.packing if start is None or search.cost < before else None

    def _neighbourhoods(self, patience: int) -> None:
        """Improve the packing a few sticks at a time, until that fails so many times in a row."""
        failures = 0
        until = self.effort.used + 0.3 * self.effort.work_left
        while not self._done() and self.effort.used < until and failures < patience:
            sticks = 8 + self._near.tries % 17
            better = self._near.improved(self.packing, self._gains, sticks, self._cut_anew)
            failures = 0 if better is not None and self.offer(better) else failures + 1
