"""A bound for any way of cutting: each line across a roll crosses blanks that lie side by side."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from fractions import Fraction

import numpy as np
from ortools.linear_solver import pywraplp

from solver.rolls.bounds import Cut, least_cost, whole_values
from solver.rolls.crosscuts import CrosscutPricing
from solver.rolls.demand import Whole
from solver.rolls.effort import Effort
from solver.rolls.glop import glop_solved
from solver.rolls.knapsack import DENSE_PICK, DENSE_TABLE, SparseKnapsack


def slice_cut(pricing: CrosscutPricing, effort: Effort, rounds: int = 400) -> Cut | None:
    """Return the exact cut of the strongest dual values found, for any number of stages.

    Cut a roll into slices of no length: the blanks crossed by a slice lie side
    by side and are no wider together than the roll, and a blank of length l
    takes part in slices over a length l in all. A linear programme over slices
    gives dual values, and the best slice at those, in whole numbers and rounded
    up, is what a unit of length can hold. What crosscuts lose beside blanks is
    not counted, so the bound holds for three stages and more.

    References
    ----------
    The bar relaxation: Scheithauer, LP-based bounds for the container and
    multi-container loading problem, International Transactions in Operational
    Research 6 (1999).
    """
    master = SliceMaster(pricing, effort)
    return master.solved(rounds)


def _reach(cut: Cut, bought: Sequence[int]) -> Fraction | None:
    """Return how many times a purchase would have to be made to satisfy a cut; None if no number of times does."""
    room = sum((each * count for each, count in zip(cut.room, bought, strict=True)), Fraction(0))
    return cut.need / room if room else None


class SliceMaster:
    """Lengths of slices and rolls to buy for them, at least cost."""

    def __init__(self, pricing: CrosscutPricing, effort: Effort) -> None:
        self._pricing, self._effort = pricing, effort
        self._demand = demand = pricing.demand
        self._unit = float(demand.lay_along.max())
        self._solver = solver = pywraplp.Solver.CreateSolver("GLOP")
        infinity = solver.infinity()
        self._objective = solver.Objective()
        self._objective.SetMinimization()
        self._cover = [solver.Constraint(float(c), infinity) for c in demand.counts]
        self._room = [solver.Constraint(-infinity, 0.0) for _ in demand.widths]
        dearest = max(o.cost / o.length for o in demand.offers) or 1.0
        for row in self._cover:
            missing = solver.NumVar(0.0, infinity, "")
            row.SetCoefficient(missing, 1.0)
            self._objective.SetCoefficient(missing, 100.0)
        self._bought = []
        for offer in demand.offers:
            most = infinity if offer.limit is None else offer.limit * offer.length / self._unit
            bought = solver.NumVar(0.0, most, "")
            self._bought.append(bought)
            self._room[offer.width].SetCoefficient(bought, -1.0)
            self._objective.SetCoefficient(bought, offer.cost / offer.length / dearest)
        self._share = solver.NumVar(0.0, 0.0, "")
        self._objective.SetCoefficient(self._share, 1.0)
        self._known: set[tuple[int, ...]] = set()

    def against(self, bought: Sequence[int], rounds: int) -> Cut | None:
        """Return the cut that rules out a purchase most clearly, if slices rule it out at all.

        The programme asks for the least share of the purchase that would do;
        its dual values, over 1 or not, make a cut that holds for every purchase.
        """
        demand = self._demand
        room = [0.0] * len(demand.widths)
        for offer, each in zip(demand.offers, bought, strict=True):
            room[offer.width] += offer.length * each / self._unit
        for variable in self._bought:
            variable.SetBounds(0.0, 0.0)
        self._share.SetBounds(0.0, self._solver.infinity())
        for row, length in zip(self._room, room, strict=True):
            row.SetCoefficient(self._share, -length)
        return self._generated(rounds, lambda cut: _reach(cut, bought))

    def solved(self, rounds: int) -> Cut | None:
        """Generate slices until there is no better one, and return the cut that proves the highest cost."""
        return self._generated(rounds, lambda cut: least_cost(cut, self._demand.offers))

    def _generated(self, rounds: int, proof: Callable[[Cut], Fraction | None]) -> Cut | None:
        """Generate slices and return the cut of the greatest ``proof``; None is more than any."""
        demand = self._demand
        cut: Cut | None = None
        best = Fraction(-1)
        for _ in range(rounds):
            if self._effort.over() or not glop_solved(self._solver, self._effort):
                return cut
            duals = np.array([row.dual_value() for row in self._cover])
            prices = np.array([-row.dual_value() for row in self._room])
            values = whole_values(duals)
            if not values.any():
                return cut
            # What a lay is worth a unit of length, times the longest, rounded up: never too little.
            longest = int(demand.lay_along.max())
            worth = -(-values[demand.lay_kind] * longest // demand.lay_along)
            bounds = demand.counts[demand.lay_kind]
            most = self._best(worth, bounds)
            need = sum(int(v) * int(c) for v, c in zip(values, demand.counts, strict=True))
            room = tuple(Fraction(int(most[o.width]) * o.length, longest) for o in demand.offers)
            found = Cut(room=room, need=need)
            # The bound does not rise with every round: keep the cut that proves the most.
            proves = proof(found)
            if cut is None or proves is None or proves > best:
                cut, best = found, best if proves is None else proves
            scale = float(duals.max()) / float(values.max())
            added = False
            for width in np.flatnonzero(most * scale > prices * (1 + 1e-7) + 1e-9).tolist():
                added |= self._add(width, worth, bounds)
            if not added:
                break
        return cut

    def _best(self, worth: Whole, bounds: Whole) -> Whole:
        demand = self._demand
        zero = np.zeros(len(worth), np.int64)
        self._effort.spend(0.05 + len(worth) * int(demand.widths[-1]) * 3e-6)
        if self._pricing.dense:
            table = DENSE_TABLE.compiled(zero, zero + 1, demand.lay_across, worth, bounds, 1, demand.widths)
            return np.asarray(table[0])
        sparse = SparseKnapsack(compiled=self._pricing.compiled)
        return np.asarray(sparse.table(zero, zero + 1, demand.lay_across, worth, bounds, 1, demand.widths)[0])

    def _add(self, width: int, worth: Whole, bounds: Whole) -> bool:
        demand = self._demand
        use = np.flatnonzero((worth > 0) & (demand.lay_across <= demand.widths[width]))
        across = int(demand.widths[width])
        if self._pricing.dense:
            counts = DENSE_PICK.compiled(demand.lay_across[use], worth[use], bounds[use], across)
        else:
            sparse = SparseKnapsack(compiled=self._pricing.compiled)
            counts = sparse.pick(demand.lay_across[use], worth[use], bounds[use], across)
        key = (width, *counts.tolist(), *use.tolist())
        if key in self._known:
            return False
        self._known.add(key)
        column = self._solver.NumVar(0.0, self._solver.infinity(), "")
        self._room[width].SetCoefficient(column, 1.0)
        share: dict[int, float] = {}
        for lay, count in zip(use.tolist(), counts.tolist(), strict=True):
            if count:
                kind = int(demand.lay_kind[lay])
                share[kind] = share.get(kind, 0.0) + count * self._unit / float(demand.lay_along[lay])
        for kind, amount in share.items():
            self._cover[kind].SetCoefficient(column, amount)
        return True
