"""The linear programme over crosscuts and the patterns they form on whole rolls.

Where a roll holds only a few crosscuts, what is lost at its end is no trifle.
Here a roll is bought with a pattern of slots for crosscuts, and a crosscut takes
a slot of its length on its width.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

import numpy as np
from ortools.linear_solver import pywraplp

from solver.rolls.bounds import Cut, cut_from, roll_patterns, whole_values
from solver.rolls.crosscuts import Crosscut, CrosscutPricing
from solver.rolls.demand import Whole
from solver.rolls.effort import Effort
from solver.rolls.glop import glop_solved

MISSING = 10.0
"""Times the dearest roll's cost for its length, that a blank left out costs for its length."""

FREE = 0.02
"""Share of its cost that a roll costs where the question is whether the rolls suffice."""

Pattern = tuple[int, tuple[tuple[int, int], ...]]
"""Offer number and slots as (length, how many)."""


class RollMaster:
    """Crosscuts and roll patterns to cover the demand, as a linear programme solved by GLOP.

    Rows: each kind is covered; on each width there are at least as many slots of
    a length as crosscuts; no offer is used more than its limit. Blanks may be
    left out at a high price, so that the programme always has a solution.
    """

    def __init__(self, pricing: CrosscutPricing, effort: Effort) -> None:
        self.demand = demand = pricing.demand
        self.pricing = pricing
        self._effort = effort
        self.residual: Whole = demand.counts.copy()
        self._solver = solver = pywraplp.Solver.CreateSolver("GLOP")
        infinity = solver.infinity()
        self._objective = solver.Objective()
        self._objective.SetMinimization()
        self._cover = [solver.Constraint(float(c), infinity) for c in demand.counts]
        self._dearest = max(o.cost / o.length for o in demand.offers) or 1.0
        self._unit = float(demand.lengths[-1])
        self._costs = [o.cost / self._dearest / self._unit for o in demand.offers]
        for kind, row in enumerate(self._cover):
            missing = solver.NumVar(0.0, infinity, "")
            row.SetCoefficient(missing, 1.0)
            shortest = int(demand.lay_along[demand.lay_kind == kind].min())
            self._objective.SetCoefficient(missing, MISSING * (shortest + demand.extra) / self._unit)
        self._limits = [
            solver.Constraint(-infinity, infinity if o.limit is None else float(o.limit)) for o in demand.offers
        ]
        self._free = False
        self._slots: dict[tuple[int, int], pywraplp.Constraint] = {}
        self.columns: list[tuple[Crosscut, int]] = []
        self.patterns: list[Pattern] = []
        self._crosscuts: list[pywraplp.Variable] = []
        self._rolls: list[pywraplp.Variable] = []
        self._known: set[object] = set()
        self._matrix = np.zeros((256, len(demand.counts)), np.int32)
        self._open: list[bool] = []

    def limit(self, bought: Sequence[int] | None, *, free: bool = False) -> None:
        """Set how many rolls there are of each offer (None: its own limit); ``free``: they cost next to nothing."""
        infinity = self._solver.infinity()
        for number, (row, offer) in enumerate(zip(self._limits, self.demand.offers, strict=True)):
            if bought is not None:
                row.SetUb(float(bought[number]))
            else:
                row.SetUb(infinity if offer.limit is None else float(offer.limit))
        if free != self._free:
            self._free = free
            for (number, _), roll in zip(self.patterns, self._rolls, strict=True):
                self._objective.SetCoefficient(roll, self._cost(number))

    def _cost(self, number: int) -> float:
        return self._costs[number] * (FREE if self._free else 1.0)

    def add(self, crosscut: Crosscut, width: int) -> bool:
        """Add a crosscut; False if it is known already."""
        key = (crosscut.counts, crosscut.length, width)
        if key in self._known:
            return False
        self._known.add(key)
        number = len(self.columns)
        if number == len(self._matrix):
            self._matrix = np.concatenate([self._matrix, np.zeros_like(self._matrix)])
        row = self._matrix[number]
        for kind, count in crosscut.counts:
            row[kind] = count
        proper = bool(np.all(row <= self.residual))
        variable = self._solver.NumVar(0.0, self._solver.infinity() if proper else 0.0, "")
        for kind, count in crosscut.counts:
            self._cover[kind].SetCoefficient(variable, float(count))
        self._slot(width, crosscut.length).SetCoefficient(variable, -1.0)
        self.columns.append((crosscut, width))
        self._crosscuts.append(variable)
        self._open.append(proper)
        return True

    def add_pattern(self, pattern: Pattern) -> bool:
        """Add a roll pattern; False if it is known already."""
        if pattern in self._known:
            return False
        self._known.add(pattern)
        offer, slots = pattern
        variable = self._solver.NumVar(0.0, self._solver.infinity(), "")
        self._objective.SetCoefficient(variable, self._cost(offer))
        self._limits[offer].SetCoefficient(variable, 1.0)
        for length, count in slots:
            self._slot(self.demand.offers[offer].width, length).SetCoefficient(variable, float(count))
        self.patterns.append(pattern)
        self._rolls.append(variable)
        return True

    def _slot(self, width: int, length: int) -> pywraplp.Constraint:
        """Return the row of slots of a length; running length gives any slot at its rate."""
        if (width, length) not in self._slots:
            infinity = self._solver.infinity()
            row = self._slots[width, length] = self._solver.Constraint(0.0, infinity)
            for number, offer in enumerate(self.demand.offers):
                if offer.running and offer.width == width:
                    cut = self._solver.NumVar(0.0, infinity, "")
                    row.SetCoefficient(cut, 1.0)
                    self._objective.SetCoefficient(cut, self._costs[number] * length / offer.length)
                    self._limits[number].SetCoefficient(cut, length / offer.length)
            # A longer slot may serve as the next shorter one.
            here = sorted(h for w, h in self._slots if w == width)
            place = here.index(length)
            for long, short in zip(here[max(0, place - 1) : place + 1], here[max(1, place) : place + 2], strict=False):
                change = self._solver.NumVar(0.0, infinity, "")
                self._slots[width, short].SetCoefficient(change, -1.0)
                self._slots[width, long].SetCoefficient(change, 1.0)
        return self._slots[width, length]

    def set_residual(self, residual: Whole) -> None:
        """Set what is still to be covered; crosscuts that hold more of a kind than that are shut."""
        for kind in np.flatnonzero(residual != self.residual):
            self._cover[kind].SetLb(float(residual[kind]))
        self.residual = residual.copy()
        fitting = np.all(self._matrix[: len(self.columns)] <= residual, axis=1)
        for number in np.flatnonzero(fitting != np.array(self._open, dtype=bool)):
            self._crosscuts[number].SetUb(self._solver.infinity() if fitting[number] else 0.0)
            self._open[number] = bool(fitting[number])

    def solve(self) -> bool:
        """Solve the programme; False if no method got it solved."""
        if not glop_solved(self._solver, self._effort):
            return False
        self.duals = np.array([row.dual_value() for row in self._cover])
        self.prices = [max(0.0, -row.dual_value()) for row in self._limits]
        self.use = np.array([variable.solution_value() for variable in self._crosscuts])
        self.rolls = np.array([variable.solution_value() for variable in self._rolls])
        self.value = float(self._objective.Value())
        return True

    def generate(self, rounds: int, *, tolerance: float = 1e-6) -> Cut | None:
        """Solve and add better rolls with their crosscuts until there are none, at most ``rounds`` times.

        Returns
        -------
        Cut or None
            The exact cut of the last dual values, if they are for the full demand.
        """
        full = self.pricing.exact and bool((self.residual == self.demand.counts).all())
        priced = False
        idle = 0
        self.pricing.coarse = True
        for _ in range(rounds):
            if self._effort.over() or not self.solve():
                break
            top = float(self.duals.max(initial=0.0))
            if top <= 0:
                break
            self.values = whole_values(self.duals)
            self.table = self.pricing.best_values(self.values, self.residual)
            priced = True
            better = self._add_best(self.values, self.table, top / float(self.values.max()), tolerance)
            idle = 0 if better else idle + 1
            if idle >= self.pricing.turns:
                break
        else:
            self.solve()
        self.pricing.coarse = False
        if not full or not priced:
            return None
        if self.pricing.fine:
            self.table = self.pricing.best_values(self.values, self.residual)
        return cut_from(self.demand, self.values, self.table, compiled=self.pricing.compiled)

    def _add_best(self, values: Whole, table: Whole, worth: float, tolerance: float) -> bool:
        """Add for each offer the best pattern of slots, with the best crosscut of each slot."""
        added = False
        spans = {int(length): span for span, length in enumerate(self.demand.lengths)}
        patterns = roll_patterns(self.demand, table, compiled=self.pricing.compiled)
        for number, (offer, (slots, value)) in enumerate(zip(self.demand.offers, patterns, strict=True)):
            cost = self._cost(number) + self.prices[number]
            self._effort.spend(0.5)
            if not slots or value * worth <= cost * (1 + tolerance) + 1e-9:
                continue
            filled: Counter[int] = Counter()
            for length, count in slots:
                crosscut = self.pricing.crosscut(spans[length], offer.width, values, self.residual)
                if crosscut is None:
                    continue
                filled[crosscut.length] += count
                added |= self.add(crosscut, offer.width)
            if not offer.running:
                added |= self.add_pattern((number, tuple(sorted(filled.items(), reverse=True))))
        return added
