"""Which rolls to buy: the cheapest numbers of rolls that no cut and no refutation rules out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, gcd

from ortools.sat.python import cp_model

from solver.rolls.bounds import Cut
from solver.rolls.demand import Demand
from solver.rolls.effort import Effort

WHOLE_SUM = 1 << 50
"""Cuts are scaled to about this sum, rooms rounded up, so that CP-SAT counts in whole numbers."""


SPARE_STEPS = 100_000
"""What a purchase has to spare is measured in this many steps of the need."""


@dataclass(frozen=True, slots=True)
class Purchase:
    """``bought`` of each offer at ``cost``; ``bound`` is the exact least cost of any purchase not ruled out.

    ``bought`` is empty if a limit was hit before any purchase was found.
    """

    bought: tuple[int, ...]
    cost: int
    bound: int


class Purchases:
    """The integer programme over numbers of rolls, solved by CP-SAT.

    Rows are cuts, which hold for every plan, and refutations: a purchase that
    was shown not to suffice rules out all purchases with no more of any roll.
    ``most`` is the largest number of use of each offer, ``step`` what all prices
    have in common.
    """

    def __init__(self, demand: Demand, effort: Effort) -> None:
        self._demand = demand
        self._effort = effort
        self._cuts: list[Cut] = []
        self._refuted: list[tuple[int, ...]] = []
        self._shelved: list[tuple[int, ...]] = []
        blanks = int(demand.counts.sum())
        self.most = [
            -(-int(demand.lengths[-1]) * blanks // o.length)
            if o.running
            else min(blanks, blanks if o.limit is None else o.limit)
            for o in demand.offers
        ]
        self.step = gcd(*[o.cost for o in demand.offers]) or 1

    def add(self, cut: Cut) -> None:
        """Add a cut."""
        self._cuts.append(cut)

    def refute(self, bought: Sequence[int]) -> None:
        """Rule out a purchase and every smaller one."""
        self._refuted.append(tuple(bought))

    def allowed(self, bought: Sequence[int]) -> bool:
        """Whether a purchase satisfies every cut."""
        return all(sum(r * b for r, b in zip(cut.room, bought, strict=True)) >= cut.need for cut in self._cuts)

    def cheapest(self, below: int | None) -> Purchase | None:
        """Return the cheapest purchase not ruled out and cheaper than ``below``, or None if there is none."""
        model, bought, cost = self._model(below)
        model.minimize(cost)
        return self._solved(model, bought, self._refuted, below)

    def roomiest(self, budget: int) -> Purchase | None:
        """Return the purchase within a budget that satisfies the tightest of all cuts with the most to spare.

        Its bound means nothing.
        """
        model, bought, _ = self._model(budget + 1)
        spare = model.new_int_var(0, SPARE_STEPS // 10, "spare")
        for whole, need in self._rows(bought):
            model.add(sum(w * b for w, b in zip(whole, bought, strict=True)) >= need + spare * (need // SPARE_STEPS))
        model.maximize(spare)
        return self._solved(model, bought, self._refuted + self._shelved, budget + 1)

    def shelve(self, bought: Sequence[int]) -> None:
        """Leave out a purchase and every smaller one until ``unshelve``, without any proof."""
        self._shelved.append(tuple(bought))

    def unshelve(self) -> None:
        """Take up again what was shelved."""
        self._shelved.clear()

    def cheapest_unshelved(self, below: int | None) -> Purchase | None:
        """Return the cheapest purchase neither ruled out nor shelved; its bound says nothing of the shelved."""
        model, bought, cost = self._model(below)
        model.minimize(cost)
        return self._solved(model, bought, self._refuted + self._shelved, below)

    def _model(self, below: int | None) -> tuple[cp_model.CpModel, list[cp_model.IntVar], cp_model.LinearExprT]:
        model = cp_model.CpModel()
        offers = self._demand.offers
        most = list(self.most)
        if below is not None:
            most = [min(m, (below - 1) // o.cost) if o.cost else m for m, o in zip(most, offers, strict=True)]
        bought = [model.new_int_var(0, max(0, m), "") for m in most]
        for whole, need in self._rows(bought):
            model.add(sum(w * b for w, b in zip(whole, bought, strict=True)) >= need)
        cost = sum((o.cost // self.step) * b for o, b in zip(offers, bought, strict=True))
        if below is not None:
            model.add(cost <= (below - 1) // self.step)
        return model, bought, cost

    def _rows(self, bought: Sequence[cp_model.IntVar]) -> list[tuple[list[int], int]]:
        """Return the cuts in whole numbers, rooms rounded up and needs down."""
        rows = []
        for cut in self._cuts:
            room = [min(r, Fraction(cut.need)) for r in cut.room]
            largest = max([Fraction(cut.need), *(r * m for r, m in zip(room, self.most, strict=True))])
            factor = Fraction(WHOLE_SUM) / max(Fraction(1), largest)
            rows.append(([ceil(r * factor) for r in room], int(cut.need * factor)))
        return rows

    def _solved(
        self,
        model: cp_model.CpModel,
        bought: Sequence[cp_model.IntVar],
        left_out: Sequence[Sequence[int]],
        below: int | None,
    ) -> Purchase | None:
        offers = self._demand.offers
        for purchase in left_out:
            grown = []
            for number, count in enumerate(purchase):
                if count < self.most[number]:
                    more = model.new_bool_var("")
                    model.add(bought[number] >= count + 1).only_enforce_if(more)
                    grown.append(more)
            model.add_bool_or(grown)
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.random_seed = 1
        solver.parameters.linearization_level = 2
        solver.parameters.max_deterministic_time = 5.0
        solver.parameters.max_time_in_seconds = max(0.1, self._effort.seconds_left)
        with self._effort.watched(solver.stop_search):
            status = solver.solve(model)
        self._effort.spend(10 + 3000 * solver.response_proto.deterministic_time)
        if status == cp_model.INFEASIBLE:
            return None
        if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            return Purchase(bought=(), cost=0, bound=0)
        found = tuple(solver.value(b) for b in bought)
        total = sum(o.cost * n for o, n in zip(offers, found, strict=True))
        lowest = ceil(solver.best_objective_bound - 1e-6) * self.step
        return Purchase(bought=found, cost=total, bound=lowest)
