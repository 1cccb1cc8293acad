"""The cheapest purchase that no cut and no floor rules out.

References
----------
Hooker, Ottosson, Logic-based Benders decomposition, Mathematical Programming 96
(2003): a master problem chooses, subproblems answer with inequalities that hold
for every choice.
"""

from __future__ import annotations

from collections.abc import Sequence, Set
from math import gcd
from typing import Any

from ortools.sat.python import cp_model

from solver.purchase.basket.model import Article, Choice, Condition, Cut, Floor, Market
from solver.sticks.effort import Effort


class Master:
    """An integer programme over what is bought, solved by CP-SAT on one thread.

    Rows: hardware is covered; a supplier who sells anything delivers; least
    numbers are kept; and everything learnt about the groups.
    """

    def __init__(self, market: Market, effort: Effort) -> None:
        self.market = market
        self._effort = effort
        self._model = cp_model.CpModel()
        model = self._model
        self._delivers = [model.new_bool_var(f"delivery {s}") for s in range(len(market.deliveries))]
        self._ways: list[list[Any]] = []
        self._bought: list[Any] = []
        self._used: dict[int, Any] = {}
        for number, article in enumerate(market.articles):
            self._add_article(number, article)
        self._amounts: list[Any] = list(market.on_hand)
        for article, bought in zip(market.articles, self._bought, strict=True):
            for resource, amount in article.gives:
                self._amounts[resource] = self._amounts[resource] + amount * bought
        for cover in market.covers:
            rest = []
            for resource, need in cover.needs:
                other = model.new_int_var(0, need, "")
                model.add(self._amounts[resource] + other >= need)
                rest.append(other)
            model.add(self._amounts[cover.anything] >= sum(rest))
        self.step = gcd(*self._prices()) or 1
        self._cost = sum(
            way.price // self.step * count
            for article, counts in zip(market.articles, self._ways, strict=True)
            for way, count in zip(article.ways, counts, strict=True)
        ) + sum(
            charge // self.step * delivers for charge, delivers in zip(market.deliveries, self._delivers, strict=True)
        )
        model.minimize(self._cost)

    def _prices(self) -> list[int]:
        prices = [way.price for article in self.market.articles for way in article.ways]
        return [*prices, *self.market.deliveries]

    def _add_article(self, number: int, article: Article) -> None:
        model = self._model
        most = article.most if article.limit is None else min(article.most, article.limit)
        enough = max(most, article.minimum)
        counts = [model.new_int_var(0, -(-enough // way.size), "") for way in article.ways]
        paid = sum(way.size * count for way, count in zip(article.ways, counts, strict=True))
        self._ways.append(counts)
        if len(counts) == 1 and article.minimum == 1:
            (bought,) = counts
        else:
            # A bundle or a least number may hold more than is ever of use.
            bought = model.new_int_var(0, most, article.name)
            model.add(bought <= paid)
        self._bought.append(bought)
        if article.limit is not None:
            model.add(paid <= article.limit)
        if article.minimum > 1:
            used = self._used[number] = model.new_bool_var("")
            model.add(paid >= article.minimum * used)
            model.add(bought <= most * used)
        if article.supplier is not None:
            model.add(paid == 0).only_enforce_if(~self._delivers[article.supplier])

    def learn(self, known: Cut | Floor) -> None:
        """Add what is known of a group."""
        match known:
            case Cut():
                model_sum = sum(room * self._amounts[resource] for resource, room in known.room)
                self._model.add(model_sum >= known.need)
            case Floor():
                self._add_floor(known)

    def _add_floor(self, floor: Floor) -> None:
        model = self._model
        off = []
        for condition, number, least in floor.unless:
            if condition is Condition.MORE:
                more = model.new_bool_var("")
                # Both ways, so that the floor holds exactly where nothing more is bought.
                model.add(self._bought[number] >= least).only_enforce_if(more)
                model.add(self._bought[number] < least).only_enforce_if(~more)
                off.append(more)
            elif condition is Condition.USED:
                off.append(self._used[number])
            else:
                off.append(self._delivers[number])
        model.add(self._loose_cost(floor.group, floor.given) >= -(-floor.cost // self.step)).only_enforce_if(
            [~let for let in off]
        )

    def _loose_cost(self, group: int, given: frozenset[int]) -> Any:
        """Return what the loose stock of a group but the given costs beyond the least numbers, in steps."""
        terms = []
        for number, article in enumerate(self.market.articles):
            if article.group != group or number in given:
                continue
            for way, count in zip(article.ways, self._ways[number], strict=True):
                terms.append(way.price // self.step * count)
            if article.prepaid:
                terms.append(-(article.prepaid // self.step) * self._used[number])
        return sum(terms)

    def cheapest(self, *, below: int | None, least: int, work: float) -> Choice | None:
        """Return the cheapest purchase not ruled out, or None if there is none.

        Parameters
        ----------
        below
            Only purchases cheaper than this are sought.
        least
            No purchase is cheaper than this; helps the search.
        work
            Units of work at most; when they run out, ``bought`` is empty or no
            proven optimum and ``bound`` still holds.
        """
        model = self._model.clone()
        if below is not None:
            model.add(self._cost <= (below - 1) // self.step)
        model.add(self._cost >= -(-least // self.step))
        return self._solved(model, least, work)

    def within(
        self, kits: Sequence[int], articles: Sequence[int], delivers: Sequence[bool], sure: Set[int] = frozenset()
    ) -> Choice | None:
        """Return the cheapest purchase with given numbers of kits and no other suppliers, or None if there is none.

        Parameters
        ----------
        kits, articles
            How many of which articles, in step.
        delivers
            Who may deliver, shape (n_suppliers,).
        sure
            Suppliers who deliver in any case.
        """
        model = self._model.clone()
        for number, count in zip(articles, kits, strict=True):
            model.add(self._bought[number] == count)
        for supplier, (allowed, delivery) in enumerate(zip(delivers, self._delivers, strict=True)):
            if supplier in sure:
                model.add(delivery == 1)
            elif not allowed:
                model.add(delivery == 0)
        choice = self._solved(model, 0, 1_000)
        return choice if choice is not None and choice.bought else None

    def _solved(self, model: cp_model.CpModel, least: int, work: float) -> Choice | None:
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.random_seed = 1
        solver.parameters.max_deterministic_time = max(0.05, min(work, self._effort.work_left) / 1000)
        solver.parameters.max_time_in_seconds = max(0.05, self._effort.seconds_left)
        status = solver.solve(model)
        self._effort.spend(3 + 1000 * solver.deterministic_time)
        if status == cp_model.INFEASIBLE:
            return None
        if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            return Choice(bought=(), delivers=(), cost=0, bound=max(least, self._lowest(solver)))
        cost = int(solver.value(self._cost))
        return Choice(
            bought=tuple(solver.value(total) for total in self._bought),
            delivers=tuple(bool(solver.value(delivers)) for delivers in self._delivers),
            cost=cost * self.step,
            bound=cost * self.step if status == cp_model.OPTIMAL else max(least, self._lowest(solver)),
        )

    def _lowest(self, solver: cp_model.CpSolver) -> int:
        """Return the bound of a run that was cut short; no cost is negative."""
        return max(0, _rounded_up(solver.best_objective_bound)) * self.step


def _rounded_up(bound: float) -> int:
    """Return a bound on a whole number as a whole number; CP-SAT reports it as a float of an exact integer."""
    nearest = round(bound)
    return nearest if abs(bound - nearest) < 1e-6 * max(1.0, abs(bound)) else int(bound) + (bound > 0)
