"""The linear programme over crosscuts and rolls, with crosscuts generated as they are needed."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from ortools.linear_solver import pywraplp

from solver.rolls.bounds import Cut, cut_from, whole_values
from solver.rolls.crosscuts import Crosscut, CrosscutPricing
from solver.rolls.demand import Whole
from solver.rolls.effort import Effort
from solver.rolls.glop import glop_solved

Floats = NDArray[np.float64]

OVERFLOW_PRICE = 30.0
"""Cost of a unit of length beyond the rolls, against 1 for the dearest length on offer."""


class Master:
    """Crosscuts to cover the demand from rolls, as a linear programme solved by GLOP.

    Rows: each kind is covered; the crosscuts on a width are no longer than its
    rolls. Rolls are bought in the programme (``buy``), or given (``fix_rolls``),
    or given and measured against the need (``measure``). Length beyond them is
    possible at a high price, so that the programme always has a solution. Lengths are divided by the longest crosscut,
    costs by the dearest length, to keep the numbers near 1.
    """

    def __init__(self, pricing: CrosscutPricing, effort: Effort) -> None:
        self.demand = demand = pricing.demand
        self.pricing = pricing
        self._effort = effort
        self.scale = float(demand.lengths[-1])
        rates = [o.cost / o.length for o in demand.offers]
        self.dearest = max(rates) or 1.0
        self.columns: list[tuple[Crosscut, int]] = []
        self._known: set[tuple[tuple[tuple[int, int], ...], int, int]] = set()
        self._matrix = np.zeros((256, len(demand.counts)), np.int32)
        self.residual: Whole = demand.counts.copy()
        self._open: list[bool] = []
        self._crosscuts: list[pywraplp.Variable] = []
        self.weights = np.zeros(len(demand.widths))
        self._build()
        self._seed()

    def _build(self) -> None:
        demand = self.demand
        self._solver = solver = pywraplp.Solver.CreateSolver("GLOP")
        infinity = solver.infinity()
        self._objective = solver.Objective()
        self._objective.SetMinimization()
        self._cover = [solver.Constraint(float(c), infinity) for c in demand.counts]
        self._room = [solver.Constraint(-infinity, 0.0) for _ in demand.widths]
        self._over = [solver.NumVar(0.0, infinity, "") for _ in demand.widths]
        self._bought = [solver.NumVar(0.0, infinity if o.limit is None else float(o.limit), "") for o in demand.offers]
        for row, over in zip(self._room, self._over, strict=True):
            row.SetCoefficient(over, -1.0)
            self._objective.SetCoefficient(over, OVERFLOW_PRICE)
        self._share = solver.NumVar(0.0, 0.0, "")
        self._objective.SetCoefficient(self._share, 1.0)
        for offer, bought in zip(demand.offers, self._bought, strict=True):
            # One unit of the variable is a longest crosscut's length, whatever the roll.
            self._room[offer.width].SetCoefficient(bought, -1.0)
            self._objective.SetCoefficient(bought, offer.cost / offer.length / self.dearest)
        self.buy()

    def _seed(self) -> None:
        """Give each lay a crosscut of its own, so that every kind can be covered."""
        demand = self.demand
        for lay, kind in enumerate(demand.lay_kind):
            span = int(demand.start[lay])
            for width in range(len(demand.widths)):
                count = min(int(demand.widths[width] // demand.lay_across[lay]), int(demand.counts[kind]))
                if count and demand.lengths[span] <= demand.reach[width]:
                    self.add(self.pricing.made(np.array([lay]), np.array([count])), width)
                    if count > 1:
                        self.add(self.pricing.made(np.array([lay]), np.array([1])), width)

    def buy(self) -> None:
        """Let the programme choose what to buy, within the limits."""
        self._price_overflow()
        for offer, bought in zip(self.demand.offers, self._bought, strict=True):
            most = self._solver.infinity() if offer.limit is None else offer.limit * offer.length / self.scale
            bought.SetBounds(0.0, most)
        for row in self._room:
            row.SetUb(0.0)
        self.set_weights(np.zeros(len(self._room)))

    def measure(self, room: Sequence[float]) -> None:
        """Ask for the least share of ``room`` that will do: over 1 the rolls do not suffice."""
        self.fix_rolls([0.0] * len(room), np.zeros(len(room)))
        self._share.SetBounds(0.0, self._solver.infinity())
        for row, length in zip(self._room, room, strict=True):
            row.SetCoefficient(self._share, -length / self.scale)

    def _price_overflow(self) -> None:
        self._share.SetBounds(0.0, 0.0)

    def fix_rolls(self, room: Sequence[float], weights: Floats) -> None:
        """Give each width ``room`` of length; a unit of length used costs ``weights``, in programme units."""
        self._price_overflow()
        for bought in self._bought:
            bought.SetBounds(0.0, 0.0)
        for row, length in zip(self._room, room, strict=True):
            row.SetUb(length / self.scale)
        self.set_weights(weights)

    def set_room(self, room: Sequence[float]) -> None:
        """Change the length left on each width."""
        for row, length in zip(self._room, room, strict=True):
            row.SetUb(length / self.scale)

    def set_weights(self, weights: Floats) -> None:
        """Set the cost of a unit of length used on each width."""
        if not np.array_equal(weights, self.weights):
            self.weights = weights.copy()
            for (crosscut, width), variable in zip(self.columns, self._crosscuts, strict=True):
                self._objective.SetCoefficient(variable, weights[width] * crosscut.length / self.scale)

    def add(self, crosscut: Crosscut, width: int) -> bool:
        """Add a crosscut on a width; False if it is known already."""
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
        proper = bool((row <= self.residual).all())
        variable = self._solver.NumVar(0.0, self._solver.infinity() if proper else 0.0, "")
        for kind, count in crosscut.counts:
            self._cover[kind].SetCoefficient(variable, float(count))
        length = crosscut.length / self.scale
        self._room[width].SetCoefficient(variable, length)
        if self.weights[width]:
            self._objective.SetCoefficient(variable, self.weights[width] * length)
        self.columns.append((crosscut, width))
        self._crosscuts.append(variable)
        self._open.append(proper)
        return True

    def set_residual(self, residual: Whole) -> None:
        """Set what is still to be covered; crosscuts that hold more of a kind than that are shut."""
        for kind in np.flatnonzero(residual != self.residual):
            self._cover[kind].SetLb(float(residual[kind]))
        self.residual = residual.copy()
        self._effort.spend(0.5 + len(self.columns) * 5e-4)
        fitting = np.all(self._matrix[: len(self.columns)] <= residual, axis=1)
        for number in np.flatnonzero(fitting != np.array(self._open)):
            self._crosscuts[number].SetUb(self._solver.infinity() if fitting[number] else 0.0)
            self._open[number] = bool(fitting[number])

    def solve(self) -> bool:
        """Solve the programme; False if no method got it solved."""
        if not glop_solved(self._solver, self._effort):
            return False
        self.duals = np.array([row.dual_value() for row in self._cover])
        self.prices = np.array([-row.dual_value() for row in self._room])
        self.use = np.array([variable.solution_value() for variable in self._crosscuts])
        self.bought = np.array([v.solution_value() for v in self._bought]) * self.scale
        self.share = float(self._share.solution_value())
        self.over = np.array([v.solution_value() for v in self._over]) * self.scale
        self.value = float(self._objective.Value())
        return True

    def generate(self, rounds: int, *, tolerance: float = 1e-7, most: int | None = None) -> Cut | None:
        """Solve and add better crosscuts until there are none, at most ``rounds`` times.

        Returns
        -------
        Cut or None
            The exact cut of the last dual values, for the full demand (also if the
            rounds ran out); None if the programme could not be solved.
        """
        most = most or 10 + len(self.demand.counts) // 12
        full = self.pricing.exact and bool((self.residual == self.demand.counts).all())
        priced = False
        idle = 0
        self.pricing.coarse = True
        for turn in range(rounds):
            if self._effort.over() or not self.solve():
                break
            if turn == rounds - 1 and full:
                self.pricing.coarse = False
            self.values = whole_values(self.duals)
            self.table = self.pricing.best_values(self.values, self.residual)
            priced = True
            if self._add_best(self.values, self.table, tolerance, most):
                idle = 0
                continue
            idle += 1
            if idle >= self.pricing.turns:
                if not full or not self.pricing.coarse or not self.pricing.fine:
                    break
                # Nothing more in the coarse unit: go on, and end, with the exact one.
                self.pricing.coarse = False
        else:
            self.solve()
        inexact = self.pricing.coarse and self.pricing.fine
        self.pricing.coarse = False
        if not full or not priced:
            return None
        if inexact:
            self.table = self.pricing.best_values(self.values, self.residual)
        return cut_from(self.demand, self.values, self.table, compiled=self.pricing.compiled)

    def _add_best(self, values: Whole, table: Whole, tolerance: float, most: int) -> bool:
        top = float(self.duals.max(initial=0.0))
        if top <= 0:
            return False
        worth = table * (top / float(values.max()))
        cost = self.demand.lengths[:, None] / self.scale * (self.prices + self.weights)[None, :]
        gain = np.where(self.demand.fits() & (table > 0), worth - cost * (1 + tolerance) - 1e-9, -1.0)
        order = np.argsort(-gain, axis=None, kind="stable")
        added = 0
        for place in order[: 3 * most]:
            length, width = divmod(int(place), len(self.demand.widths))
            if gain[length, width] <= 0 or added >= most:
                break
            crosscut = self.pricing.crosscut(length, width, values, self.residual)
            added += crosscut is not None and self.add(crosscut, width)
        return added > 0
