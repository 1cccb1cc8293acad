"""How many sticks of each size to buy: purchase vectors, cheapest first.

A purchase vector says how many sticks of each size that costs money are bought.
The model holds what is known about vectors that no packing fits, and proposes
the cheapest vector that is not ruled out.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from math import ceil
from typing import Any

from solver.sticks.effort import Effort
from solver.sticks.grid import Grid

Vector = tuple[int, ...]
"""Sticks of each size, shape (n_sizes,); free sizes stand at their limit."""


@dataclass(frozen=True, slots=True)
class Proposal:
    """What the model proposes: a vector, and a bound on the cost of every vector not ruled out.

    Without a vector ``bound`` stands at the cost that had to be beaten if the
    model proved that none is left, and below it if it ran out of effort.
    """

    vector: Vector | None
    bound: int


@dataclass(frozen=True, slots=True)
class Cut:
    """A vector must hold ``sum(worth[s] * vector[s]) >= need``."""

    worth: tuple[int, ...]
    need: int


@dataclass(slots=True)
class Buying:
    """Proposes purchase vectors.

    Parameters
    ----------
    grid
        The problem.
    effort
        Where work is counted.
    seed
        For the solver.
    """

    grid: Grid
    effort: Effort
    seed: int = 1
    cuts: list[Cut] = field(default_factory=list)
    refused: list[Vector] = field(default_factory=list)

    @property
    def bought(self) -> list[int]:
        """The sizes that cost money."""
        return [s for s, size in enumerate(self.grid.sizes) if size.cost or size.limit is None]

    def vector(self, counts: Sequence[int]) -> Vector:
        """Return the purchase vector of a packing's stick counts: free sizes at their limit."""
        bought = set(self.bought)
        return tuple(
            count if s in bought else (size.limit or 0)
            for s, (size, count) in enumerate(zip(self.grid.sizes, counts, strict=True))
        )

    def cheapest(self, at_least: int, below: int, worth: Sequence[int]) -> Proposal:
        """Return the cheapest vector that costs ``at_least`` or more and less than ``below``.

        Of equally cheap vectors one of large total ``worth`` is preferred: the
        roomier it is, the easier it packs.
        """
        from ortools.sat.python import cp_model

        model = cp_model.CpModel()
        amounts: dict[int, Any] = {}
        cost: Any = 0
        for s in self.bought:
            amounts[s], price = self._size(model, s, below)
            cost += price
        model.add(cost >= at_least)
        model.add(cost <= below - self.grid.step)
        for cut in self.cuts:
            fixed = sum(cut.worth[s] * (size.limit or 0) for s, size in enumerate(self.grid.sizes) if s not in amounts)
            model.add(sum(cut.worth[s] * amounts[s] for s in self.bought) >= cut.need - fixed)
        for refused in self.refused:
            self._more_somewhere(model, amounts, refused)
        model.minimize(cost)
        vector, bound = self._solve(model, amounts)
        if vector is None:
            return Proposal(None, below if bound is None else max(at_least, bound))
        # Equally cheap, but roomier.
        model.add(cost <= max(at_least, bound or 0, self.price(vector)))
        model.maximize(sum(int(worth[s]) * amounts[s] for s in self.bought))
        roomier, _ = self._solve(model, amounts)
        return Proposal(roomier or vector, max(at_least, bound or 0))

    def price(self, vector: Vector) -> int:
        """Return what a vector costs."""
        bought = set(self.bought)
        return self.grid.cost([count if s in bought else 0 for s, count in enumerate(vector)])

    def _size(self, model: Any, s: int, below: int) -> tuple[Any, Any]:
        """Return how many sticks of a size are bought, and for how much, as expressions."""
        size = self.grid.sizes[s]
        most = sum(self.grid.demand) if size.limit is None else size.limit
        if size.cost:
            most = min(most, below * self.grid.share // size.cost)
        amount = model.new_int_var(0, most, f"sticks {s}")
        if size.members[0] < 0 or not self.grid.bundled:
            return amount, (size.cost // self.grid.share) * amount
        stock = self.grid.problem.stock[size.members[0]]
        if stock.bundle is None or size.cost == stock.cost * self.grid.share:
            return amount, stock.cost * amount
        # A full bundle's worth of single sticks never costs less than the bundle.
        held, price = stock.bundle
        bundles = model.new_int_var(0, most // held + 1, f"bundles {s}")
        singles = model.new_int_var(0, held - 1, f"singles {s}")
        model.add(held * bundles + singles >= amount)
        if stock.limit is not None:
            model.add(held * bundles + singles <= stock.limit)
        return amount, price * bundles + stock.cost * singles

    def _more_somewhere(self, model: Any, amounts: dict[int, Any], vector: Vector) -> None:
        """Rule out every vector whose sticks are no more and no longer than those of ``vector``."""
        ways = []
        total: Any = 0
        refused = 0
        for capacity in sorted({self.grid.sizes[s].capacity for s in amounts}, reverse=True):
            alike = [s for s in amounts if self.grid.sizes[s].capacity == capacity]
            total += sum(amounts[s] for s in alike)
            refused += sum(vector[s] for s in alike)
            way = model.new_bool_var("")
            model.add(total >= refused + 1).only_enforce_if(way)
            ways.append(way)
        model.add_bool_or(ways)

    def _solve(self, model: Any, amounts: dict[int, Any]) -> tuple[Vector | None, int | None]:
        """Return the vector and the bound; both None if the model has no solution."""
        from ortools.sat.python import cp_model

        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.random_seed = self.seed
        solver.parameters.max_deterministic_time = 2.0
        solver.parameters.max_time_in_seconds = max(0.01, min(20.0, self.effort.seconds_left))
        status = solver.solve(model)
        self.effort.spend(3 + 1000 * solver.deterministic_time)
        if status == cp_model.INFEASIBLE:
            return None, None
        bound = ceil(solver.best_objective_bound - 1e-6)
        if status == cp_model.UNKNOWN:
            return None, bound
        return tuple(
            solver.value(amounts[s]) if s in amounts else (size.limit or 0) for s, size in enumerate(self.grid.sizes)
        ), bound
