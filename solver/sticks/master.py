"""The linear programme over patterns: how often each is cut, and what a rail is worth."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from ortools.linear_solver import pywraplp

from solver.sticks.charges import Share
from solver.sticks.effort import Effort
from solver.sticks.grid import Column

Real = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Prices:
    """One optimum of the programme.

    ``value`` is the objective, ``rails`` the worth of each rail, shape
    (n_rails,), ``sizes`` what one more stick of a limited size would save, shape
    (n_sizes,), ``charges`` what each row on shares charges for a share; under 0
    it pays. Floating point: good for steering, never for a proof.
    """

    value: float
    rails: Real
    sizes: Real
    charges: tuple[float, ...] = ()


class Master:
    """Least cost to cover ``demand`` by columns, at most ``limits`` sticks of each size.

    Rails left uncovered cost ``penalty`` for each unit of weight, so that there
    is always an optimum. With ``scaled`` set the aim is another one: the largest
    multiple of the demand that the limited sticks can cover.
    """

    def __init__(
        self,
        *,
        weights: Sequence[int],
        demand: Sequence[int],
        costs: Sequence[float],
        limits: Sequence[int | None],
        effort: Effort,
        penalty: float = 0.0,
        scaled: bool = False,
    ) -> None:
        self._effort = effort
        self._scaled = scaled
        self._costs = list(costs)
        self._solver = pywraplp.Solver.CreateSolver("GLOP")
        self._objective = self._solver.Objective()
        infinity = self._solver.infinity()
        self._rails = [self._solver.Constraint(0.0 if scaled else float(count), infinity) for count in demand]
        self._sizes = {
            s: self._solver.Constraint(-infinity, float(limit)) for s, limit in enumerate(limits) if limit is not None
        }
        self._columns: dict[Column, pywraplp.Variable] = {}
        self._amounts: list[tuple[Column, float]] = []
        self._shares: dict[Share, pywraplp.Constraint] = {}
        if scaled:
            self._multiple = self._solver.NumVar(0.0, infinity, "")
            self._objective.SetCoefficient(self._multiple, 1.0)
            self._objective.SetMaximization()
            for row, count in zip(self._rails, demand, strict=True):
                row.SetCoefficient(self._multiple, -float(count))
        else:
            self._objective.SetMinimization()
            for row, weight in zip(self._rails, weights, strict=True):
                spare = self._solver.NumVar(0.0, infinity, "")
                row.SetCoefficient(spare, 1.0)
                self._objective.SetCoefficient(spare, penalty * weight)

    @property
    def columns(self) -> Iterable[Column]:
        """Every column known, in the order of arrival."""
        return self._columns

    def __len__(self) -> int:
        """Return the number of columns."""
        return len(self._columns)

    def add(self, column: Column) -> bool:
        """Add a column; return False if it is there already."""
        if column in self._columns:
            return False
        size, pattern = column
        variable = self._solver.NumVar(0.0, self._solver.infinity(), "")
        if not self._scaled:
            self._objective.SetCoefficient(variable, self._costs[size])
        if size in self._sizes:
            self._sizes[size].SetCoefficient(variable, 1.0)
        for rail, copies in pattern:
            self._rails[rail].SetCoefficient(variable, float(copies))
        for share, row in self._shares.items():
            if part := share.of(pattern):
                row.SetCoefficient(variable, float(part))
        self._columns[column] = variable
        return True

    @property
    def shares(self) -> list[Share]:
        """The rows on shares in force, in the order of :attr:`Prices.charges`."""
        return list(self._shares)

    def share(self, share: Share) -> None:
        """Demand a row on what sticks hold together, times the multiple that is sought."""
        infinity = self._solver.infinity()
        row = self._solver.Constraint(0.0, infinity) if share.at_least else self._solver.Constraint(-infinity, 0.0)
        row.SetCoefficient(self._multiple, -float(share.bound))
        for (_, pattern), variable in self._columns.items():
            if part := share.of(pattern):
                row.SetCoefficient(variable, float(part))
        self._shares[share] = row

    def release(self, share: Share) -> None:
        """Take a row on shares back."""
        self._shares.pop(share).SetBounds(-self._solver.infinity(), self._solver.infinity())

    def drop(self, column: Column) -> None:
        """Take a column out of play; it is no longer known."""
        self._columns.pop(column).SetUb(0.0)

    def demand(self, counts: Iterable[int]) -> None:
        """Change how many of each rail must be covered."""
        for row, count in zip(self._rails, counts, strict=True):
            row.SetLb(float(count))

    def stretch(self, counts: Iterable[float]) -> None:
        """Change the demand whose multiple is sought."""
        for row, count in zip(self._rails, counts, strict=True):
            row.SetCoefficient(self._multiple, -count)

    def limit(self, size: int, count: int) -> None:
        """Change how many sticks of a limited size there are."""
        self._sizes[size].SetUb(float(count))

    def solve(self) -> Prices | None:
        """Return an optimum, or None if the solver gave up (it then has to be treated as unknown)."""
        for parameters in (
            "max_deterministic_time: 4 use_preprocessing: false",
            "max_deterministic_time: 8 use_dual_simplex: true",
            "max_deterministic_time: 8 use_preprocessing: false perturb_costs_in_dual_simplex: true",
        ):
            self._solver.SetSolverSpecificParametersAsString(parameters)
            self._solver.SetTimeLimit(max(1, int(1000 * min(20.0, self._effort.seconds_left + 0.5))))
            status = self._solver.Solve()
            # The solver's own pivot count is not reliable, so work is counted from the size.
            rows, columns = len(self._rails) + len(self._sizes), len(self._columns)
            self._effort.spend(0.15 + rows / 100 + columns / 500 + rows * rows / 30_000)
            if status == pywraplp.Solver.OPTIMAL:
                return self._snapshot()
            if self._effort.over():
                return None
        return None

    def _snapshot(self) -> Prices:
        """Read the optimum at once: a later change of the model makes it unreadable."""
        rails = np.array([row.dual_value() for row in self._rails])
        sizes = np.zeros(len(self._costs))
        for s, row in self._sizes.items():
            sizes[s] = row.dual_value()
        self._amounts = [(column, x) for column, v in self._columns.items() if (x := v.solution_value()) > 1e-9]
        sign = -1.0 if self._scaled else 1.0
        charges = tuple(-sign * row.dual_value() for row in self._shares.values())
        return Prices(self._objective.Value(), np.maximum(sign * rails, 0.0), np.maximum(-sign * sizes, 0.0), charges)

    def amounts(self) -> list[tuple[Column, float]]:
        """Return the columns in use in the last optimum, with how many sticks each."""
        return self._amounts
