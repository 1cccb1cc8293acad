"""How many sticks of each size to buy: purchase vectors, cheapest first.

A purchase vector says how many sticks of each size that costs money are bought.
The model holds what is known about vectors that no packing fits, and proposes
the cheapest vector that is not ruled out.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from enum import Enum
from typing import Any

from solver.sticks.effort import Effort
from solver.sticks.grid import Grid

Vector = tuple[int, ...]
"""Sticks of each size, shape (n_sizes,); free sizes stand at their limit."""


class Answer(Enum):
    """What the model says."""

    VECTOR = "a vector"
    NONE = "no vector is left"
    UNKNOWN = "the model ran out of effort"


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

    def cheapest(self, at_least: int, below: int, worth: Sequence[int]) -> tuple[Answer, Vector | None]:
        """Return the cheapest vector that costs ``at_least`` or more and less than ``below``.

        Of equally cheap vectors one of large total ``worth`` is preferred: the
        roomier it is, the easier it packs.
        """
        from ortools.sat.python import cp_model

        model = cp_model.CpModel()
        most = sum(self.grid.demand)
        amounts: dict[int, Any] = {}
        cost: Any = 0
        for s in self.bought:
            size = self.grid.sizes[s]
            amounts[s] = model.new_int_var(0, most if size.limit is None else size.limit, f"sticks {s}")
            cost += self._price(model, s, amounts[s], most)
        model.add(cost >= at_least)
        model.add(cost <= below - self.grid.step)
        for cut in self.cuts:
            fixed = sum(cut.worth[s] * (size.limit or 0) for s, size in enumerate(self.grid.sizes) if s not in amounts)
            model.add(sum(cut.worth[s] * amounts[s] for s in self.bought) >= cut.need - fixed)
        for refused in self.refused:
            self._more_somewhere(model, amounts, refused, most)
        model.minimize(cost)
        answer, vector = self._solve(model, amounts)
        if vector is None:
            return answer, None
        # Equally cheap, but roomier.
        model.add(cost == self.grid.cost([count if s in amounts else 0 for s, count in enumerate(vector)]))
        model.maximize(sum(int(worth[s]) * amounts[s] for s in self.bought))
        _, roomier = self._solve(model, amounts)
        return Answer.VECTOR, roomier or vector

    def _price(self, model: Any, s: int, amount: Any, most: int) -> Any:
        size = self.grid.sizes[s]
        if size.members[0] < 0:
            return (size.cost // self.grid.share) * amount
        stock = self.grid.problem.stock[size.members[0]]
        if stock.bundle is None:
            return stock.cost * amount
        bundles = model.new_int_var(0, most, f"bundles {s}")
        singles = model.new_int_var(0, most, f"singles {s}")
        held = stock.bundle[0] * bundles + singles
        model.add(held >= amount)
        if stock.limit is not None:
            model.add(held <= stock.limit)
        return stock.bundle[1] * bundles + stock.cost * singles

    def _more_somewhere(self, model: Any, amounts: dict[int, Any], vector: Vector, most: int) -> None:
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

    def _solve(self, model: Any, amounts: dict[int, Any]) -> tuple[Answer, Vector | None]:
        from ortools.sat.python import cp_model

        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.random_seed = self.seed
        solver.parameters.max_deterministic_time = 2.0
        solver.parameters.max_time_in_seconds = max(0.01, min(20.0, self.effort.seconds_left))
        status = solver.solve(model)
        self.effort.spend(3 + 1000 * solver.deterministic_time)
        if status == cp_model.INFEASIBLE:
            return Answer.NONE, None
        if status != cp_model.OPTIMAL:
            return Answer.UNKNOWN, None
        return Answer.VECTOR, tuple(
            solver.value(amounts[s]) if s in amounts else (size.limit or 0) for s, size in enumerate(self.grid.sizes)
        )
