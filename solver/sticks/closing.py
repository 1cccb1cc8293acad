"""Deciding a packing on a complete list of patterns: cutting planes, then branching.

References
----------
Jepsen, Petersen, Spoorendonk, Pisinger, Subset-row inequalities applied to the
vehicle-routing problem with time windows, Operations Research 56 (2008): the
cuts. Ryan, Foster, An integer programming approach to scheduling (1981): the
branching on two rails together or apart.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from ortools.linear_solver import pywraplp

from solver.kernel import Kernel
from solver.sticks.buying import Vector
from solver.sticks.effort import Effort
from solver.sticks.grid import Column, Grid, Packing

Whole = NDArray[np.int64]


def _odd_triples(
    odd: NDArray[np.float64], amounts: NDArray[np.float64], demand: Whole, found: NDArray[np.float64]
) -> int:
    """Write (violation, i, j, k) of triples whose odd columns add up to less than one; return how many."""
    m, n = odd.shape
    single = np.zeros(n)
    pair = np.zeros((n, n))
    for p in range(m):
        for i in range(n):
            if odd[p, i] > 0:
                single[i] += amounts[p]
                for j in range(i + 1, n):
                    if odd[p, j] > 0:
                        pair[i, j] += amounts[p]
    count = 0
    for i in range(n):
        for j in range(i + 1, n):
            two = single[i] + single[j] - 2 * pair[i, j]
            for k in range(j + 1, n):
                if (demand[i] + demand[j] + demand[k]) % 2 == 0:
                    continue
                low = two + single[k] - 2 * (pair[i, k] + pair[j, k])
                if low >= 0.98:
                    continue
                for p in range(m):
                    if odd[p, i] > 0 and odd[p, j] > 0 and odd[p, k] > 0:
                        low += 4 * amounts[p]
                if low < 0.98:
                    if count == found.shape[0]:
                        return count
                    found[count, 0] = 1 - low
                    found[count, 1] = i
                    found[count, 2] = j
                    found[count, 3] = k
                    count += 1
    return count


ODD_TRIPLES = Kernel(_odd_triples)


@dataclass(frozen=True, slots=True)
class Row:
    """``sum(holds * columns) <= most``; shape of ``holds`` (n_columns,)."""

    holds: Whole
    most: int


class Closing:
    """Decides whether listed columns pack the demand.

    Parameters
    ----------
    grid, vector
        The problem and the sticks of each size.
    columns
        Every column a packing can contain.
    equal
        For each rail whether no packing cuts more of it than wanted.
    effort
        Where work is counted.
    """

    CUTS_A_ROUND = 60
    CERTIFICATE = 1 << 24

    def __init__(
        self, grid: Grid, vector: Vector, columns: Sequence[Column], equal: Sequence[bool], effort: Effort
    ) -> None:
        self.columns = list(columns)
        self.effort = effort
        self.demand = np.array(grid.demand, np.int64)
        self.vector = vector
        self.held = np.zeros((len(columns), len(grid.weights)), np.int64)
        self.size = np.array([s for s, _ in columns], np.int64)
        for p, (_, pattern) in enumerate(columns):
            for i, times in pattern:
                self.held[p, i] = times
        self.equal = np.array(equal, bool)
        self._rows: list[Row] = []
        self._known: set[tuple[int, ...]] = set()
        self._build()

    def _build(self) -> None:
        solver = self._solver = pywraplp.Solver.CreateSolver("GLOP")
        infinity = solver.infinity()
        self._x = [solver.NumVar(0.0, infinity, "") for _ in self.columns]
        self._objective = solver.Objective()
        self._objective.SetMinimization()
        self._rails: list[Any] = []
        for i, count in enumerate(self.demand):
            row = solver.Constraint(float(count), float(count) if self.equal[i] else infinity)
            lacking = solver.NumVar(0.0, infinity, "")
            row.SetCoefficient(lacking, 1.0)
            self._objective.SetCoefficient(lacking, 1.0)
            for p in np.flatnonzero(self.held[:, i]):
                row.SetCoefficient(self._x[int(p)], float(self.held[p, i]))
            self._rails.append(row)
        self._sizes: dict[int, Any] = {}
        for s in sorted(set(self.size.tolist())):
            row = solver.Constraint(-infinity, float(self.vector[s]))
            for p in np.flatnonzero(self.size == s):
                row.SetCoefficient(self._x[int(p)], 1.0)
            self._sizes[s] = row
        self._cuts: list[Any] = []

    def _add(self, row: Row) -> None:
        constraint = self._solver.Constraint(-self._solver.infinity(), float(row.most))
        for p in np.flatnonzero(row.holds):
            constraint.SetCoefficient(self._x[int(p)], float(row.holds[p]))
        self._rows.append(row)
        self._cuts.append(constraint)

    def _relax(self, count: int) -> None:
        """Make every row after the first ``count`` say nothing."""
        infinity = self._solver.infinity()
        for constraint in self._cuts[count:]:
            constraint.SetUb(infinity)
        del self._cuts[count:]
        del self._rows[count:]

    def decide(self, work: float) -> tuple[Packing | None, bool]:
        """Return a packing if one was found, and whether the question is decided."""
        until = self.effort.used + work
        if bool((self.held.sum(axis=0) == 0)[self.demand > 0].any()):
            return None, True
        return self._node(until, 0)

    def _node(self, until: float, depth: int) -> tuple[Packing | None, bool]:
        amounts: NDArray[np.float64] | None = None
        for _ in range(30 if depth == 0 else 4):
            if self.effort.used > until or self.effort.over():
                return None, False
            amounts = self._solve()
            if amounts is None:
                return None, False
            if self._objective.Value() > 1e-7:
                return None, self._certified()
            whole = np.rint(amounts).astype(np.int64)
            if np.abs(amounts - whole).max() < 1e-6:
                return self._packing(whole)
            if not self._separate(amounts):
                break
        return (None, False) if amounts is None else self._branch(amounts, until, depth)

    def _branch(self, amounts: NDArray[np.float64], until: float, depth: int) -> tuple[Packing | None, bool]:
        """Split on whether two rails share a stick more or less often."""
        if depth >= 40:
            return None, False
        used = np.flatnonzero(amounts > 1e-6)
        has = (self.held[used] > 0).astype(np.float64)
        shared = (has * amounts[used, None]).T @ has
        np.fill_diagonal(shared, 0.0)
        fraction = shared - np.floor(shared + 1e-6)
        if fraction.max() < 1e-5:
            # Every pair is whole: split on one column.
            p = int(used[np.argmax(np.abs(amounts[used] - np.floor(amounts[used])))])
            holds = np.zeros(len(self.columns), np.int64)
            holds[p] = 1
            total = float(amounts[p])
        else:
            score = np.where(fraction > 1e-5, 1 - np.abs(fraction - 0.6), -1.0)
            i, j = np.unravel_index(int(np.argmax(score)), score.shape)
            holds = ((self.held[:, i] > 0) & (self.held[:, j] > 0)).astype(np.int64)
            total = float(shared[i, j])
        low = int(np.floor(total + 1e-6))
        decided = True
        # The row of a branch stands among the cuts found below it, so all of them go when it is left.
        keep = len(self._rows)
        for row in (Row(-holds, -(low + 1)), Row(holds, low)):
            self._add(row)
            packing, sure = self._node(until, depth + 1)
            if packing is not None:
                return packing, True
            decided = decided and sure
            self._relax(keep)
            self._known.clear()
            # One open branch leaves the question open, but the other may still hold a packing.
            if not decided and self.effort.used > until:
                break
        return None, decided

    def _solve(self) -> NDArray[np.float64] | None:
        self._solver.SetSolverSpecificParametersAsString("max_deterministic_time: 10 use_dual_simplex: true")
        self._solver.SetTimeLimit(max(1, int(1000 * min(10.0, self.effort.seconds_left + 0.2))))
        status = self._solver.Solve()
        self.effort.spend(1 + len(self.columns) / 300 + len(self._rows) / 20)
        if status != pywraplp.Solver.OPTIMAL:
            return None
        self._duals = [row.dual_value() for row in self._rails], [row.dual_value() for row in self._cuts]
        return np.array([x.solution_value() for x in self._x])

    def _certified(self) -> bool:
        """Whether whole-number prices prove that the rows cannot all hold."""
        scale = self.CERTIFICATE
        rails = np.rint(np.array(self._duals[0]) * scale).astype(np.int64)
        rails = np.where(self.equal, rails, np.maximum(rails, 0))
        worth = self.held @ rails
        total = int(rails @ self.demand)
        for dual, row in zip(self._duals[1], self._rows, strict=True):
            price = min(0, round(dual * scale))
            if price:
                worth = worth + price * row.holds
                total += price * row.most
        for s in self._sizes:
            best = max(0, int(worth[self.size == s].max()))
            total -= best * self.vector[s]
        return total > 0

    def _separate(self, amounts: NDArray[np.float64]) -> int:
        """Add the most violated cuts on three rails; return how many."""
        used = np.flatnonzero(amounts > 1e-7)
        rails = np.flatnonzero(self.equal & (self.demand > 0))
        odd = (self.held[np.ix_(used, rails)] % 2).astype(np.float64)
        found = np.zeros((20_000, 4))
        form = ODD_TRIPLES.pick(4 * len(rails) ** 3)
        count = form(odd, amounts[used], self.demand[rails], found)
        self.effort.spend(len(rails) ** 3 / 3_000_000 + 0.2)
        added = 0
        often: dict[int, int] = {}
        for _, i, j, k in sorted(found[:count].tolist(), key=lambda triple: (-triple[0], triple[1:])):
            triple = tuple(int(rails[int(r)]) for r in (i, j, k))
            if triple in self._known or max(often.get(r, 0) for r in triple) >= 8:
                continue
            self._known.add(triple)
            for r in triple:
                often[r] = often.get(r, 0) + 1
            self._add(Row(self.held[:, triple].sum(axis=1) // 2, int(self.demand[list(triple)].sum()) // 2))
            added += 1
            if added == self.CUTS_A_ROUND:
                break
        return added

    def _packing(self, whole: Whole) -> tuple[Packing | None, bool]:
        """Return the packing if whole amounts are one, counted exactly."""
        covered = whole @ self.held
        fits = all(int(whole[self.size == s].sum()) <= self.vector[s] for s in self._sizes)
        if not fits or bool((covered < self.demand).any()):
            return None, False
        return {self.columns[int(p)]: int(whole[p]) for p in np.flatnonzero(whole)}, True
