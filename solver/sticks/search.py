"""The search for the cheapest packing: start, columns, dives, purchase vectors."""

from __future__ import annotations

import random
from fractions import Fraction

import numpy as np

from solver.limits import Ending, Limits
from solver.sticks.buying import Buying, Vector
from solver.sticks.dive import Diver
from solver.sticks.effort import Effort
from solver.sticks.filling import Filler
from solver.sticks.first_fit import fullest_first_fit
from solver.sticks.grid import Column, Grid, Packing
from solver.sticks.master import Master
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
    """

    def __init__(self, grid: Grid, effort: Effort, limits: Limits) -> None:
        self.grid = grid
        self.effort = effort
        self.seed = limits.seed
        self.filler = Filler(grid, effort)
        self.generator = Generator(grid, self.filler, effort)
        self.costs = [size.cost for size in grid.sizes]
        self.limits = [size.limit for size in grid.sizes]
        self.pool: set[Column] = set()
        self.bound = 0
        start, _ = fullest_first_fit(grid, grid.demand, self.limits)
        self.packing = trimmed(grid, start)
        self.cost = grid.packing_cost(self.packing)

    def run(self) -> Ending:
        """Search until the best packing is proven or the limits are reached."""
        self.effort.report(self.cost, self.bound)
        gains = self._root()
        if not self._done():
            self._dive(gains)
        if not self._done():
            self._vectors(gains)
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

    def _root(self) -> list[int]:
        """Generate columns, take over the bound and return what a stick of each size can be worth."""
        grid = self.grid
        master = Master(
            weights=grid.weights,
            demand=grid.demand,
            costs=self.costs,
            limits=self.limits,
            effort=self.effort,
            penalty=10.0 * max(self.costs) / grid.weights[-1] + 1.0,
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
        return self.filler.fill(root.gains, np.array(grid.demand, np.int64)).values

    def _dive(self, worth: list[int]) -> None:
        grid = self.grid
        diver = Diver(
            grid,
            self.generator,
            self.effort,
            costs=self.costs,
            limits=self.limits,
            penalty=10.0 * max(self.costs) / grid.weights[-1] + 1.0,
        )
        for attempt in range(3):
            chance = random.Random(self.seed * 77 + attempt) if attempt else None
            found, seen = diver.dive(grid.demand, sorted(self.pool), below=self.cost * grid.share, chance=chance)
            self.pool |= seen
            for packing in found:
                self.offer(packing)
            if self._done():
                return

    def _vectors(self, worth: list[int]) -> None:
        """Decide purchase vectors, cheapest first, until the best packing is proven."""
        grid = self.grid
        buying = Buying(grid=grid, effort=self.effort, seed=self.seed)
        packer = Packer(grid, self.filler, self.generator, self.effort, self.seed)
        top = max(1, *worth).bit_length() - 24
        small = [value >> max(0, top) for value in worth]
        open_vectors: list[tuple[int, Vector]] = []
        budget = (3, 20_000, 2_000.0)
        while not self._done():
            proposal = buying.cheapest(self.bound, self.cost, small)
            self.raise_bound(min([proposal.bound, *(cost for cost, _ in open_vectors)]))
            if proposal.vector is not None:
                if not self._decide(packer, buying, proposal.vector, budget):
                    open_vectors.append((buying.price(proposal.vector), proposal.vector))
                    buying.refused.append(proposal.vector)
                continue
            if proposal.bound < self.cost or not open_vectors:
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
