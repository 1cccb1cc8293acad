"""The search for the cheapest packing: start, columns, dives, purchase vectors."""

from __future__ import annotations

import random
from fractions import Fraction

import numpy as np

from solver.limits import Ending
from solver.sticks.buying import Buying, Vector
from solver.sticks.dive import Diver, Finish
from solver.sticks.effort import Effort
from solver.sticks.filling import Filler
from solver.sticks.first_fit import fullest_first_fit
from solver.sticks.grid import Column, Grid, Packing
from solver.sticks.master import Master
from solver.sticks.neighbourhood import Neighbourhood, cut_part
from solver.sticks.packing import Packer, Verdict
from solver.sticks.patterns import Generator


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
        self._worth = [1] * len(grid.sizes)
        first, _ = fullest_first_fit(grid, grid.demand, self.limits)
        self.packing = trimmed(grid, first)
        self.cost = grid.packing_cost(self.packing)
        if start is not None:
            self.offer(start)

    def run(self) -> Ending:
        """Search until the best packing is proven or the limits are reached."""
        self.effort.report(self.cost, self.bound)
        large = sum(self.grid.demand) > self.SMALL
        self._root()
        if not self._done():
            self._dives(1 if large else 3, finish=self._finish if large else None)
        if large and not self._done():
            self._neighbourhoods()
        if not self._done():
            self._vectors()
        return self._ending()

    def run_part(self) -> Ending:
        """Search a part of a larger problem: a dive, then purchase vectors with little effort each."""
        self._root()
        if not self._done():
            self._dives(1, finish=None)
        if not self._done():
            self._vectors(rounds=1)
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
        self._worth = [value >> spare for value in values]

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

    def _finish(self, left: list[int], limits: list[int | None], below: int | None) -> Packing | None:
        """Cut the last rails of a dive as a problem of their own."""
        del below
        return cut_part(self.grid, left, limits, None, self._cut_anew)

    def _cut_anew(self, part: Grid, start: Packing | None) -> Packing | None:
        search = Search(part, self.effort.portion(1_000), self.seed, start=start)
        before = search.cost
        search.run_part()
        return search.packing if start is None or search.cost < before else None

    def _neighbourhoods(self) -> None:
        """Improve the packing a few sticks at a time, with more sticks as that gets harder."""
        near = Neighbourhood(self.grid, self._gains, self.seed)
        sticks, failures = 8, 0
        until = self.effort.used + 0.6 * self.effort.work_left
        while not self._done() and self.effort.used < until and failures < 60:
            better = near.improved(self.packing, sticks, self._cut_anew)
            if better is not None and self.offer(better):
                failures = 0
            else:
                failures += 1
                sticks = 8 + failures % 17

    def _vectors(self, rounds: int = 1_000) -> None:
        """Decide purchase vectors, cheapest first, until the best packing is proven.

        ``rounds`` says how often vectors that stay open are returned to with more effort.
        """
        grid = self.grid
        buying = Buying(grid=grid, effort=self.effort, seed=self.seed)
        packer = Packer(grid, self.filler, self.generator, self.effort, self.seed)
        open_vectors: list[tuple[int, Vector]] = []
        budget = (3, 20_000, 2_000.0)
        while not self._done():
            proposal = buying.cheapest(self.bound, self.cost, self._worth)
            self.raise_bound(min([proposal.bound, *(cost for cost, _ in open_vectors)]))
            if proposal.vector is not None:
                if not self._decide(packer, buying, proposal.vector, budget):
                    open_vectors.append((buying.price(proposal.vector), proposal.vector))
                    buying.refused.append(proposal.vector)
                continue
            rounds -= 1
            if proposal.bound < self.cost or not open_vectors or rounds <= 0:
                return
            # Everything else is decided: return to the open vectors with more effort.
            budget = (budget[0] + 5, budget[1] * 2, budget[2] * 2)
            again, open_vectors = open_vectors, []
            for cost, old in again:
                if cost < self.cost and (self._done() or not self._decide(packer, buying, old, budget)):
                    open_vectors.append((cost, old))
            self.raise_bound(min([self.cost, *(cost for cost, _ in open_vectors)]))

    def _decide(self, packer: Packer, buying: Buying, vector: Vector, budget: tuple[int, int, float]) -> bool:
        dives, columns, work = budget
        finding = packer.pack(vector, sorted(self.pool), dives=dives, columns=columns, work=work)
        self.pool |= finding.columns
        if finding.packing is not None:
            self.offer(finding.packing)
            return True
        if finding.verdict is Verdict.OPEN:
            return False
        if finding.cut is not None:
            buying.cuts.append(finding.cut)
        else:
            buying.refused.append(vector)
        return True


def trimmed(grid: Grid, packing: Packing) -> Packing:
    """Return the packing without the rails it cuts beyond the demand; sticks left empty are dropped."""
    over = [-count for count in grid.demand]
    for (_, pattern), copies in packing.items():
        for i, times in pattern:
            over[i] += times * copies
    if not any(over):
        return packing
    exact: Packing = {}
    work: list[tuple[Column, int]] = sorted(packing.items(), key=lambda entry: entry[0])
    while work:
        (s, pattern), copies = work.pop()
        surplus = [(i, times) for i, times in pattern if over[i] > 0]
        if not surplus:
            if pattern:
                exact[s, pattern] = exact.get((s, pattern), 0) + copies
            continue
        i, times = surplus[0]
        less = min(times, over[i])
        alike = min(copies, over[i] // less)
        over[i] -= less * alike
        rest = tuple((j, n - less if j == i else n) for j, n in pattern if j != i or n > less)
        work.append(((s, rest), alike))
        if copies > alike:
            work.append(((s, pattern), copies - alike))
    return exact
