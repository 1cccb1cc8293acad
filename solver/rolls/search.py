"""The search: bound, first plan, which rolls to buy, and a plan for them."""

from __future__ import annotations

from fractions import Fraction
from itertools import product
from math import ceil
from random import Random

import numpy as np

from solver.errors import ProblemError, ProblemFault
from solver.limits import Ending, Limits
from solver.rolls.bounds import least_cost
from solver.rolls.crosscuts import CrosscutPricing
from solver.rolls.demand import Demand
from solver.rolls.dive import Chosen, dive
from solver.rolls.effort import Effort
from solver.rolls.filled import Filled, cost_of, fill_rolls
from solver.rolls.master import Master
from solver.rolls.model import NestingPlan
from solver.rolls.purchases import Purchases
from solver.rolls.shelves import Rule, Way, shelves
from solver.rolls.written import written

SLACKS = (Fraction(8, 1000), Fraction(3, 1000), Fraction(1, 1000), Fraction(0))
"""Shares of the rolls' length kept free, from the surest to the cheapest purchase."""


class Search:
    """One run on one problem."""

    def __init__(self, demand: Demand, limits: Limits) -> None:
        self.demand = demand
        self.effort = Effort(limits)
        self.chance = Random(limits.seed)
        self.pricing = CrosscutPricing(demand, self.effort)
        self.purchases = Purchases(demand, self.effort)
        self.master = Master(self.pricing, self.effort)
        self.best: Filled | None = None
        self.cost: int | None = None
        self.bound = 0
        self.running = all(offer.running for offer in demand.offers)

    def plan(self) -> NestingPlan:
        """Search until the plan is proven or a limit is hit."""
        self._shelves()
        self.master.buy()
        cut = self.master.generate(1_000)
        if cut is not None:
            self.purchases.add(cut)
            lowest = least_cost(cut, self.demand.offers)
            if lowest is not None:
                self._raise_bound(self._rounded(lowest))
        if not self._proven():
            if self.running:
                self._cost_dives()
            else:
                self._buy()
        if self.best is None or self.cost is None:
            raise _too_little()
        ending = Ending.PROVEN if self._proven() else self.effort.ending or Ending.EXHAUSTED
        return NestingPlan(
            rolls=written(self.demand, self.best),
            cost=self.cost,
            bound=min(self.bound, self.cost),
            ending=ending,
            work=self.effort.work,
        )

    def _proven(self) -> bool:
        return self.cost is not None and self.bound >= self.cost

    def _rounded(self, lowest: Fraction) -> int:
        step = self.purchases.step
        return ceil(lowest / step) * step

    def _raise_bound(self, bound: int) -> None:
        if bound > self.bound:
            self.bound = self.effort.bound = bound
            self.effort.report()

    def _keep(self, filled: Filled) -> None:
        cost = cost_of(self.demand, filled)
        if self.cost is None or cost < self.cost:
            self.best, self.cost = filled, cost
            self.effort.cost = cost
            self.effort.report()

    def _shelves(self) -> None:
        """Start from what a careful shop would do, and give its crosscuts to the programme."""
        ways = tuple(Way) if self.demand.turning else (Way.WIDE,)
        for width, rule, way in product(range(len(self.demand.widths)), Rule, ways):
            found = shelves(self.demand, width, rule, way)
            if found is None:
                continue
            for crosscut, place, _ in found:
                if self.demand.lengths[crosscut.span] <= self.demand.reach[place]:
                    self.master.add(crosscut, place)
            self._bought_for(found)

    def _bought_for(self, chosen: Chosen) -> None:
        """Keep the plan that puts crosscuts on free rolls first, then on one offer of their width."""
        offers = self.demand.offers
        length = np.zeros(len(self.demand.widths), np.int64)
        for crosscut, width, copies in chosen:
            length[width] += crosscut.length * copies
        bought = [0] * len(offers)
        for number, offer in enumerate(offers):
            if offer.cost == 0 and offer.limit is not None:
                bought[number] = self.purchases.all_rolls()[number]
        for width in np.flatnonzero(length).tolist():
            here = [n for n, o in enumerate(offers) if o.width == width and (o.limit is None)]
            if here:
                number = min(here, key=lambda n: (offers[n].cost / offers[n].length, n))
                bought[number] = self.purchases.all_rolls()[number]
        filled, over = fill_rolls(self.demand, chosen, bought)
        if not over:
            self._keep(filled)

    def _cost_dives(self) -> None:
        """Dive for the least cost of running length."""
        noise = 0.0
        for _ in range(30):
            self.master.buy()
            found = dive(self.master, self.effort, self.chance, noise=noise)
            if found is None:
                return
            self._bought_for(found)
            if self._proven():
                return
            noise = 0.3

    def _buy(self) -> None:
        """Try purchases from the surest to the cheapest; refute what cannot suffice."""
        for slack in SLACKS:
            while not self.effort.over():
                purchase = self.purchases.cheapest(self.cost, slack)
                if purchase is None or not purchase.bought:
                    if slack == 0 and purchase is None:
                        if self.cost is None:
                            raise _too_little()
                        self._raise_bound(self.cost)
                    break
                if slack == 0:
                    self._raise_bound(purchase.bound)
                if self._suffices(purchase.bought) is not False:
                    break
            if self._proven():
                return

    def _suffices(self, bought: tuple[int, ...]) -> bool | None:
        """Whether a purchase holds all blanks: a plan is kept, or a cut added, or neither (None)."""
        room = [0.0] * len(self.demand.widths)
        for offer, count in zip(self.demand.offers, bought, strict=True):
            room[offer.width] += offer.length * count
        self.master.fix_rolls(room, np.zeros(len(room)))
        cut = self.master.generate(300)
        if cut is not None and self.master.over.sum() > 0:
            self.purchases.add(cut)
            if not self.purchases.allowed(bought):
                return False
        for noise in (0.0, 0.3, 0.3):
            found = dive(self.master, self.effort, self.chance, room=room, noise=noise)
            if found is None:
                return None
            filled, over = fill_rolls(self.demand, found, bought)
            if not over:
                self._keep(filled)
                return True
        return None


def _too_little() -> ProblemError:
    message = (
        "the rolls that may be used do not suffice for all mesh blanks; raise a limit or add a roll to the stock list"
    )
    return ProblemError((ProblemFault(source="", message=message),))
