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

    def cheapest(self, below: int | None, slack: Fraction = Fraction(0)) -> Purchase | None:
        """Return the cheapest purchase not ruled out, or None if there is none.

        Parameters
        ----------
        below
            Only purchases cheaper than this are sought.
        slack
            Share of the rolls' length to leave unused, for safety; with a slack the
            bound is not valid for plans without it.
        """
        model = cp_model.CpModel()
        offers = self._demand.offers
        most = list(self.most)
        if below is not None:
            most = [min(m, (below - 1) // o.cost) if o.cost else m for m, o in zip(most, offers, strict=True)]
        bought = [model.new_int_var(0, max(0, m), f"roll {number}") for number, m in enumerate(most)]
        for cut in self._cuts:
            need = cut.need / (1 - slack)
            # No sum is ever larger than the need: a roll beyond it only repeats that the cut holds.
            room = [min(r, need) for r in cut.room]
            largest = max([need, *(r * m for r, m in zip(room, most, strict=True))])
            factor = Fraction(WHOLE_SUM, 1) / max(Fraction(1), Fraction(largest))
            whole = [ceil(r * factor) for r in room]
            model.add(sum(w * b for w, b in zip(whole, bought, strict=True)) >= int(need * factor))
        for refuted in self._refuted:
            grown = []
            for number, count in enumerate(refuted):
                if count < most[number]:
                    more = model.new_bool_var("")
                    model.add(bought[number] >= count + 1).only_enforce_if(more)
                    grown.append(more)
            model.add_bool_or(grown)
        cost = sum((o.cost // self.step) * b for o, b in zip(offers, bought, strict=True))
        if below is not None:
            model.add(cost <= (below - 1) // self.step)
        model.minimize(cost)
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.random_seed = 1
        solver.parameters.linearization_level = 2
        solver.parameters.max_deterministic_time = 20.0
        solver.parameters.max_time_in_seconds = max(0.1, self._effort.seconds_left)
        with self._effort.watched(solver.stop_search):
            status = solver.solve(model)
        self._effort.spend(3 + 1000 * solver.response_proto.deterministic_time)
        if status == cp_model.INFEASIBLE:
            return None
        if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            return Purchase(bought=(), cost=0, bound=0)
        found = tuple(solver.value(b) for b in bought)
        total = sum(o.cost * n for o, n in zip(offers, found, strict=True))
        lowest = ceil(solver.best_objective_bound - 1e-6) * self.step
        return Purchase(bought=found, cost=total, bound=lowest)
