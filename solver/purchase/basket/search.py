"""The search for the cheapest basket: a master chooses kits and suppliers, the groups answer.

One round: the cheapest purchase that nothing rules out is checked group by
group; a group whose amounts fall short by what its pieces are worth gives a
cut. Where none does, every group is planned with the kits and suppliers chosen,
by its own solver: together a plan to keep, and for each group a floor under the
cost of its loose stock, which holds for these kits and suppliers and all fewer.
When the cheapest purchase left costs as much as the best plan, that is proven.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from solver.limits import Ending
from solver.purchase.basket.market import Trade
from solver.purchase.basket.master import Master
from solver.purchase.basket.model import Choice, Floor
from solver.purchase.basket.setting import Setting, floor_of, setting_of, terms_of
from solver.purchase.basket.side import Solved, Terms
from solver.sticks.effort import Effort

SHARES = (0.03, 0.15, 1.0)
"""What one group may use of the work limit, at its first, second and last try."""

LAST_SHARE = 0.4
"""What is kept of the work limit for the groups of the best plan, as long as one of them is not proven."""

PATIENCE = 2_000
"""Units of work the master may use at first for one purchase."""

FIRST_PATIENCE = 200
"""The same for the bound before any plan."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Plan:
    """A complete way to buy: the setting, every group planned, the total, and who delivers for a charge."""

    setting: Setting
    groups: tuple[Solved, ...]
    cost: int
    delivers: frozenset[int]


class Search:
    """One run on one basket."""

    def __init__(self, trade: Trade, effort: Effort) -> None:
        self.trade = trade
        self.effort = effort
        self.master = Master(trade.market, effort)
        self.best: Plan | None = None
        self.bound = 0
        self._solved: dict[tuple[int, Terms], tuple[int, Solved]] = {}
        self._enough: list[set[tuple[int, ...]]] = [set() for _ in trade.sides]
        self._floors: set[Floor] = set()
        most = [article.price_of(article.most) for article in trade.market.articles]
        self._missing = sum(most) + sum(trade.market.deliveries) + 1

    @property
    def cost(self) -> int | None:
        """Cost of the best plan."""
        return None if self.best is None else self.best.cost

    @property
    def missing_cost(self) -> int:
        """Cost at which stock that does not exist stands in: dearer than any plan worth keeping."""
        return self._missing

    def run(self, starts: Iterable[Setting]) -> Ending:
        """Search until the best plan is proven or the limits are reached."""
        # However short the search is, it has a bound, and it is compared with what a shop does by hand.
        self._first_bound()
        for setting in starts:
            self._start(setting)
        patience = PATIENCE
        while not self._late():
            choice = self.master.cheapest(below=self.cost, least=self.bound, work=patience)
            if choice is None:
                return self._nothing_cheaper()
            self._raise_bound(choice.bound)
            if choice.bought and (self._learn_cuts(choice) or self._plan(choice)):
                continue
            if choice.bought and choice.bound >= choice.cost:
                break
            # The master gave up early: what it said is no news, so it is asked again with more patience.
            patience *= 4
        return self._polish()

    def _first_bound(self) -> None:
        """Learn what the pieces of each group are worth in loose stock, and what every purchase costs at least."""
        for side in self.trade.sides:
            first = None if self.effort.over() else side.first_cut()
            if first is not None:
                self.master.learn(first)
        choice = self.master.cheapest(below=None, least=0, work=FIRST_PATIENCE)
        if choice is not None:
            self._raise_bound(choice.bound)

    def _late(self) -> bool:
        """Whether the rest of the work belongs to the best plan's own groups, as far as they are not proven."""
        if self.best is not None and not all(group.proven for group in self.best.groups):
            return self.effort.over() is not None or self.effort.work_left < LAST_SHARE * self.effort.limits.work
        return self.effort.over() is not None

    def _nothing_cheaper(self) -> Ending:
        if self.best is None:
            return Ending.EXHAUSTED
        self.bound = self.best.cost
        self.effort.report(self.best.cost, self.bound)
        return Ending.PROVEN

    def _raise_bound(self, bound: int) -> None:
        if bound > self.bound:
            self.bound = bound if self.cost is None else min(bound, self.cost)
            self.effort.report(self.cost, self.bound)

    def _learn_cuts(self, choice: Choice) -> bool:
        """Ask every group whether the amounts fall short; return whether one said so."""
        amounts = list(self.trade.market.on_hand)
        for article, bought in zip(self.trade.market.articles, choice.bought, strict=True):
            for resource, amount in article.gives:
                amounts[resource] += amount * bought
        learnt = False
        for group, side in enumerate(self.trade.sides):
            there = tuple(amounts[resource] for resource in side.resources)
            if there in self._enough[group]:
                continue
            known = side.shortfall(there)
            if known is None:
                self._enough[group].add(there)
            else:
                self.master.learn(known)
                learnt = True
        return learnt

    def offer(self, setting: Setting, groups: Sequence[Solved]) -> None:
        """Keep a plan for a setting, if its hardware can be had and it is the cheapest so far."""
        articles = self.trade.market.articles
        used = {n for (group, place), n in self.trade.loose.items() if groups[group].used[place]}
        used |= {n for kits, n in zip(setting.kits, self.trade.kits, strict=True) if kits}
        sure = {supplier for number in used if (supplier := articles[number].supplier) is not None}
        choice = self.master.within(setting.kits, self.trade.kits, setting.delivers, sure)
        if choice is not None:
            self._keep(setting, groups, choice)

    def _start(self, setting: Setting) -> None:
        """Plan every group at a setting and keep the plan."""
        self.offer(
            setting,
            [self._group(group, terms_of(self.trade, group, setting), 0) for group in range(len(self.trade.sides))],
        )

    def _plan(self, choice: Choice) -> bool:
        """Plan every group at the setting of a choice; return whether anything new came of it."""
        setting = setting_of(self.trade, choice)
        if self._plan_at(setting, choice):
            return True
        apart = tuple(
            (number, choice.bought[number])
            for number, article in enumerate(self.trade.market.articles)
            if article.apart and choice.bought[number]
        )
        return bool(apart) and self._plan_at(replace(setting, given=apart), choice)

    def _plan_at(self, setting: Setting, choice: Choice) -> bool:
        news = False
        solved = []
        for group in range(len(self.trade.sides)):
            terms = terms_of(self.trade, group, setting)
            level, found = self._solved.get((group, terms), (-1, None))
            if found is None or (not found.proven and level + 1 < len(SHARES)):
                found = self._group(group, terms, level + 1)
                news = True
            solved.append(found)
            floor = floor_of(self.trade, group, setting, found.bound)
            if floor not in self._floors:
                self._floors.add(floor)
                self.master.learn(floor)
                news = True
        return self._keep(setting, solved, choice) or news

    def _group(self, group: int, terms: Terms, level: int) -> Solved:
        """Return a group's plan, from memory where it was tried as hard before."""
        known_level, known = self._solved.get((group, terms), (-1, None))
        if known is not None and (known.proven or known_level >= level):
            return known
        limits = self.effort.limits
        within = replace(
            limits,
            work=max(1, int(min(limits.work * SHARES[level], self.effort.work_left))),
            seconds=max(0.01, self.effort.seconds_left),
            report=_quiet,
        )
        found = self.trade.sides[group].solved(terms, self._missing, within)
        self.effort.spend(found.work)
        if known is not None:
            found = _better(known, found)
        self._solved[group, terms] = (level, found)
        return found

    def _keep(self, setting: Setting, solved: Sequence[Solved], choice: Choice) -> bool:
        """Keep a complete plan if it is the cheapest so far; return whether it is."""
        if not all(group.complete for group in solved):
            return False
        cost, delivers = self._total(setting, solved, choice)
        if self.best is not None and cost >= self.best.cost:
            return False
        self.best = Plan(setting=setting, groups=tuple(solved), cost=cost, delivers=delivers)
        self._missing = min(self._missing, cost + 1)
        self.bound = min(self.bound, cost)
        self.effort.report(cost, self.bound)
        return True

    def _total(self, setting: Setting, solved: Sequence[Solved], choice: Choice) -> tuple[int, frozenset[int]]:
        """Return what a plan costs, and who delivers: kits, loose stock as it is used, the packs chosen."""
        articles = self.trade.market.articles
        bought = [0] * len(articles)
        for kits, number in zip(setting.kits, self.trade.kits, strict=True):
            bought[number] = kits
        for (group, place), number in self.trade.loose.items():
            bought[number] = solved[group].used[place]
        loose_or_kit = {*self.trade.kits, *self.trade.loose.values()}
        for number, count in enumerate(choice.bought):
            if number not in loose_or_kit:
                bought[number] = count
        sellers = {article.supplier for article, count in zip(articles, bought, strict=True) if count}
        delivers = frozenset(supplier for supplier in sellers if supplier is not None)
        charges = sum(self.trade.market.deliveries[supplier] for supplier in delivers)
        prices = sum(article.price_of(count) for article, count in zip(articles, bought, strict=True))
        return charges + prices, delivers

    def _polish(self) -> Ending:
        """Spend what is left on the groups of the best plan; the bound stays."""
        if self.best is not None and not self.effort.over():
            setting = self.best.setting
            last = len(SHARES) - 1
            sides = range(len(self.trade.sides))
            self.offer(setting, [self._group(group, terms_of(self.trade, group, setting), last) for group in sides])
        if self.cost == self.bound:
            return Ending.PROVEN
        return self.effort.over() or Ending.EXHAUSTED


def _better(one: Solved, other: Solved) -> Solved:
    """Return the cheaper plan with the higher bound of the two."""
    best = other if (other.complete, -other.cost) >= (one.complete, -one.cost) else one
    bound = min(best.cost, max(one.bound, other.bound))
    return replace(best, bound=bound)


def _quiet(progress: object) -> None:
    del progress
