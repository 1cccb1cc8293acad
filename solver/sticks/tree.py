"""Deciding a packing where its patterns are too many to list: cuts, branching and pricing under both.

References
----------
Jepsen and others (2008): cuts on three rails. Ryan, Foster (1981): branching on
two rails together or apart. Both priced exactly, see :mod:`solver.sticks.charges`.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from solver.sticks.bound import TOTAL_BITS, whole_gains
from solver.sticks.buying import Cut, Vector
from solver.sticks.charges import ChargedFiller, Share
from solver.sticks.closing import ODD_TRIPLES
from solver.sticks.effort import Effort
from solver.sticks.filling import Whole
from solver.sticks.grid import Column, Grid, Packing
from solver.sticks.master import Master, Prices


@dataclass(frozen=True, slots=True)
class Decision:
    """Whether the question is ``decided``; if so a packing, or none exists, perhaps with a cut that says so."""

    decided: bool
    packing: Packing | None = None
    cut: Cut | None = None


class Tree:
    """Decides whether the sticks of one purchase vector hold all rails.

    Parameters
    ----------
    grid, vector
        The problem and the sticks of each size.
    master
        The scaled programme at this vector, its columns generated.
    effort
        Where work is counted.
    """

    NODES = 2_000_000
    CUTS_A_ROUND = 12
    MOST_CUTS = 120
    MOST_DEPTH = 60
    MOST_RAILS = 600
    """Above this the triples are too many to look through."""
    SCALE = 1 << (TOTAL_BITS - 2)

    def __init__(self, grid: Grid, vector: Vector, master: Master, effort: Effort) -> None:
        self.grid = grid
        self.vector = vector
        self.master = master
        self.effort = effort
        self.demand = np.array(grid.demand, np.int64)
        self.filler = ChargedFiller(grid, effort)
        self.repeats = max(1, min(10, len(grid.weights) // 5))
        self._cut: Cut | None = None
        self._refuted = False
        self._until = 0.0

    def decide(self, work: float) -> Decision:
        """Return what was found within so much work."""
        if not self.filler.affords(()):
            return Decision(False)
        self._until = self.effort.used + work
        return self._node(0)

    def _over(self) -> bool:
        return self.effort.used > self._until or self.effort.over() is not None

    def _node(self, depth: int) -> Decision:
        before = 0.0
        while True:
            prices = self._priced()
            if prices is None:
                return Decision(self._refuted, cut=self._cut if depth == 0 and self._refuted else None)
            amounts = [(column, x / prices.value) for column, x in self.master.amounts()]
            packing = self._whole(amounts)
            if packing is not None:
                return Decision(True, packing)
            stalled = depth > 0 and before and before - prices.value < 1e-5
            before = prices.value
            if stalled or not self._separate(amounts):
                break
        if depth >= self.MOST_DEPTH or self._over():
            return Decision(False)
        return self._branch(amounts, depth)

    def _branch(self, amounts: list[tuple[Column, float]], depth: int) -> Decision:
        """Split on whether two rails share a stick more or less often: the longest two that are undecided."""
        shared: dict[tuple[int, int], float] = {}
        for (_, pattern), x in amounts:
            rails = [i for i, _ in pattern]
            for a, i in enumerate(rails):
                for j in rails[a + 1 :]:
                    shared[i, j] = shared.get((i, j), 0.0) + x
        ways = [
            (-self.grid.weights[i] - self.grid.weights[j], (i, j), total)
            for (i, j), total in shared.items()
            if 1e-5 < total - np.floor(total) < 1 - 1e-5
        ]
        if not ways:
            return Decision(False)
        _, pair, total = min(ways)
        low = int(np.floor(total))
        decided = True
        before = set(self.master.shares)
        for share in (Share(pair, low + 1, at_least=True), Share(pair, low)):
            self.master.share(share)
            found = self._node(depth + 1)
            if found.packing is not None:
                return found
            decided = decided and found.decided
            # Cuts hold everywhere, but only those found outside the branch are kept, to keep the programme small.
            for other in self.master.shares:
                if other not in before:
                    self.master.release(other)
            if self._over() or not decided:
                return Decision(False)
        return Decision(decided)

    def _priced(self) -> Prices | None:
        """Generate columns; return the optimum, or None with ``_refuted`` set if the rows cannot all hold."""
        self._refuted = False
        while not self._over():
            prices = self.master.solve()
            if prices is None:
                break
            shares = self.master.shares
            gains = whole_gains(prices.rails, self.SCALE)
            charges = [
                min(0, int(charge * self.SCALE)) if share.at_least else max(0, int(charge * self.SCALE))
                for share, charge in zip(shares, prices.charges, strict=True)
            ]
            need = int(gains @ self.demand) - sum(
                charge * share.bound for share, charge in zip(shares, charges, strict=True)
            )
            worth = [int(w * self.SCALE) for w in prices.sizes]
            # Where the sticks hold too little, what each may be worth more without closing the gap is of no interest.
            lack = need - sum(w * n for w, n in zip(worth, self.vector, strict=True))
            spare = max(64, (lack - 1) // max(1, sum(self.vector)))
            above = [w + spare if n else None for w, n in zip(worth, self.vector, strict=True)]
            added = 0
            copies = self.demand.copy()
            for repeat in range(self.repeats):
                nodes = self.NODES if not repeat else self.NODES // 20
                filled = self.filler.fill(gains, copies, shares, charges, above, nodes)
                room = sum(value * n for value, n in zip(filled.values, self.vector, strict=True))
                if not repeat and all(filled.sure) and room < need:
                    self._refuted = True
                    everywhere = all(len(share.rails) == 3 for share in shares)
                    self._cut = self._small(gains, shares, charges) if everywhere else None
                    return None
                fresh = 0
                for s, pattern in enumerate(filled.patterns):
                    if pattern:
                        fresh += self.master.add((s, pattern))
                        for i, _ in pattern:
                            copies[i] = 0
                if not fresh:
                    break
                added += fresh
            if not added:
                return prices if prices.value > 1 - 1e-6 else None
        return None

    def _small(self, gains: Whole, shares: list[Share], charges: list[int]) -> Cut | None:
        """Return the proof as a cut in small numbers, if it still excludes the vector then."""
        for bits in (24, 34):
            shift = max(0, int(gains.max()).bit_length() - bits)
            small, less = gains >> shift, [charge >> shift for charge in charges]
            filled = self.filler.fill(small, self.demand, shares, less, [0] * len(self.vector), self.NODES)
            need = int(small @ self.demand) - sum(
                charge * share.bound for share, charge in zip(shares, less, strict=True)
            )
            room = sum(value * n for value, n in zip(filled.values, self.vector, strict=True))
            if all(filled.sure) and room < need:
                return Cut(worth=tuple(filled.values), need=need)
        return None

    def _whole(self, amounts: list[tuple[Column, float]]) -> Packing | None:
        """Return the packing if whole amounts are one, counted exactly."""
        packing = {column: round(x) for column, x in amounts if round(x)}
        if any(abs(x - round(x)) > 1e-5 for _, x in amounts):
            return None
        held = np.zeros(len(self.demand), np.int64)
        sticks = [0] * len(self.vector)
        for (s, pattern), copies in packing.items():
            sticks[s] += copies
            for i, times in pattern:
                held[i] += times * copies
        fits = all(n <= most for n, most in zip(sticks, self.vector, strict=True))
        return packing if fits and bool((held >= self.demand).all()) else None

    def _separate(self, amounts: list[tuple[Column, float]]) -> int:
        """Add the most violated cuts on three rails; return how many."""
        if len(self.demand) > self.MOST_RAILS:
            return 0
        odd = np.zeros((len(amounts), len(self.demand)))
        for p, ((_, pattern), _) in enumerate(amounts):
            for i, times in pattern:
                odd[p, i] = times % 2
        found = np.zeros((20_000, 4))
        xs = np.array([x for _, x in amounts])
        count = ODD_TRIPLES.compiled(odd, xs, self.demand, found)
        self.effort.spend(len(self.demand) ** 3 / 3_000_000 + 0.2)
        known = set(self.master.shares)
        often: dict[int, int] = {}
        added = 0
        for _, *rails in sorted(found[:count].tolist(), key=lambda triple: (-triple[0], triple[1:])):
            triple = (int(rails[0]), int(rails[1]), int(rails[2]))
            share = Share(triple, int(sum(self.demand[i] for i in triple)) // 2)
            if share in known or max(often.get(i, 0) for i in triple) >= 3:
                continue
            if sum(share.of(pattern) * x for (_, pattern), x in amounts) <= share.bound + 0.01:
                continue
            if len(known) >= self.MOST_CUTS or not self.filler.affords([*known, share]):
                break
            self.master.share(share)
            known.add(share)
            for i in triple:
                often[i] = often.get(i, 0) + 1
            added += 1
            if added == self.CUTS_A_ROUND:
                break
        return added
