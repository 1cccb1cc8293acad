"""Deciding purchase vectors, cheapest first, until the best packing is proven."""

from __future__ import annotations

from typing import Protocol

from solver.sticks.buying import Buying, Vector
from solver.sticks.effort import Effort
from solver.sticks.filling import Filler
from solver.sticks.grid import Column, Grid, Packing
from solver.sticks.packing import Packer, Verdict
from solver.sticks.patterns import Generator


class Incumbent(Protocol):
    """What the vector search needs to know and to tell."""

    cost: int
    bound: int
    pool: set[Column]
    worth: list[int]

    def offer(self, packing: Packing) -> bool:
        """Take over a complete packing if it is cheaper."""

    def raise_bound(self, bound: int) -> None:
        """Take over a proven bound."""


class VectorSearch:
    """Remembers which vectors are ruled out and which were left open."""

    MOST_COLUMNS = 80_000
    """Where there are more patterns, cuts and branches with pricing take over."""

    def __init__(self, grid: Grid, effort: Effort, filler: Filler, generator: Generator, seed: int) -> None:
        self.effort = effort
        self.buying = Buying(grid=grid, effort=effort, seed=seed)
        self.packer = Packer(grid, filler, generator, effort, seed)
        self.open: list[tuple[int, Vector]] = []
        """Vectors without verdict; none of them, and none smaller, costs less than the number before it."""
        self.dives, self.columns, self.work = 3, 20_000, 2_000.0

    def run(self, best: Incumbent, rounds: int) -> bool:
        """Decide vectors until none is left that could be cheaper, or none but open ones.

        Returns whether another run can bring anything: vectors were left open,
        and the next run gives them more effort.
        """
        while best.bound < best.cost and not self.effort.over():
            proposal = self.buying.cheapest(best.bound, best.cost, best.worth)
            best.raise_bound(min([proposal.bound, *(least for least, _ in self.open)]))
            if proposal.vector is not None:
                if not self._decide(best, proposal.vector):
                    # Smaller vectors are set aside with it; a proposal that was cut short may be dearer than they are.
                    least = min(proposal.bound, self.buying.price(proposal.vector))
                    self.open.append((least, proposal.vector))
                    self.buying.refused.append(proposal.vector)
                continue
            if proposal.bound < best.cost or not self.open:
                return False
            if rounds <= 0:
                return True
            rounds -= 1
            self._return_to_open(best)
        return bool(self.open)

    def _return_to_open(self, best: Incumbent) -> None:
        """Everything else is decided: give the open vectors more effort."""
        self.dives, self.work = self.dives + 5, self.work * 2
        self.columns = min(self.columns * 2, self.MOST_COLUMNS)
        again, self.open = self.open, []
        back = []
        for least, vector in again:
            if least >= best.cost:
                continue
            if self.effort.over() or not self._decide(best, vector):
                self.open.append((least, vector))
            elif best.cost <= self.buying.price(vector):
                # It holds all rails: a smaller and cheaper vector may as well, and is asked for again.
                self.buying.refused.remove(vector)
                back.append(least)
        best.raise_bound(min([best.cost, *back, *(least for least, _ in self.open)]))

    def _decide(self, best: Incumbent, vector: Vector) -> bool:
        finding = self.packer.pack(vector, sorted(best.pool), dives=self.dives, columns=self.columns, work=self.work)
        best.pool |= finding.columns
        if finding.packing is not None:
            best.offer(finding.packing)
            return True
        if finding.verdict is Verdict.OPEN:
            return False
        if finding.cut is not None:
            self.buying.cuts.append(finding.cut)
        else:
            self.buying.refused.append(vector)
        return True
