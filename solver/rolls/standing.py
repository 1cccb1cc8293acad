"""What a search knows so far: the best plan, its cost, and what is proven about any cost."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from math import ceil
from random import Random

from solver.rolls.bounds import least_cost
from solver.rolls.crosscuts import Crosscut, CrosscutPricing
from solver.rolls.demand import Demand
from solver.rolls.effort import Effort
from solver.rolls.filled import Filled, cost_of, fill_rolls
from solver.rolls.master import Master
from solver.rolls.purchases import Purchases


class Standing:
    """The shared ground of all steps of one search."""

    def __init__(self, demand: Demand, effort: Effort, pricing: CrosscutPricing) -> None:
        self.demand = demand
        self.effort = effort
        self.chance = Random(effort.seed)
        self.pricing = pricing
        self.purchases = Purchases(demand, self.effort)
        self.master = Master(self.pricing, self.effort)
        self.best: Filled | None = None
        self.cost: int | None = None
        self.bound = 0

    @property
    def proven(self) -> bool:
        """Whether no plan can cost less than the best one."""
        return self.cost is not None and self.bound >= self.cost

    @property
    def done(self) -> bool:
        """Whether the search is to end: proven, or a limit is hit."""
        return self.proven or self.effort.over()

    def raise_bound(self, bound: Fraction | int) -> None:
        """Note a proven lower bound; every cost is a multiple of what all prices have in common."""
        step = self.purchases.step
        whole = ceil(Fraction(bound) / step) * step
        if whole > self.bound:
            self.bound = self.effort.bound = whole
            self.effort.report()

    def learn_cut(self) -> None:
        """Solve the programme as it stands, and keep the exact cut of its dual values."""
        cut = self.master.generate(1_000)
        if cut is not None:
            self.purchases.add(cut)
            lowest = least_cost(cut, self.demand.offers)
            if lowest is not None:
                self.raise_bound(lowest)

    def keep(self, filled: Filled) -> bool:
        """Keep a plan if it is cheaper than the best so far."""
        cost = cost_of(self.demand, filled)
        if self.cost is not None and cost >= self.cost:
            return False
        self.best, self.cost = filled, cost
        self.effort.cost = cost
        self.effort.report()
        return True

    def keep_on_best_rolls(self, chosen: Iterable[tuple[Crosscut, int, int]]) -> bool:
        """Put crosscuts on free rolls first, then on the cheapest offer of their width, and keep that if cheaper."""
        chosen = list(chosen)
        offers = self.demand.offers
        bought = [0] * len(offers)
        for number, offer in enumerate(offers):
            if offer.cost == 0 and offer.limit is not None:
                bought[number] = self.purchases.most[number]
        for width in sorted({width for _, width, _ in chosen}):
            sold = [n for n, o in enumerate(offers) if o.width == width and o.limit is None]
            if sold:
                number = min(sold, key=lambda n: (offers[n].cost / offers[n].length, n))
                bought[number] = self.purchases.most[number]
        filled, over = fill_rolls(self.demand, chosen, bought)
        return not over and self.keep(filled)
