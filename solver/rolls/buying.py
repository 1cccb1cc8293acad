"""Which rolls to buy, and the proof that fewer will not do."""

from __future__ import annotations

from math import ceil

from solver.rolls.closing import SMALL_LIST, close_purchase
from solver.rolls.decide import Verdict
from solver.rolls.fitting import Fitting
from solver.rolls.purchases import Purchase
from solver.rolls.standing import Standing

NEARLY_FULL = 0.9995
"""Share of the rolls' length that the programme may use where a plan is to be expected."""
FEW_BLANKS = 80
"""Blanks up to which the cheapest purchases are usually decided at once."""
FEW_ROLLS = 12
"""Whole rolls up to which filling each of them on its own can be decided."""


class Buying:
    """The search over purchases, for whole rolls and running length alike.

    From below, the cheapest purchase not ruled out is fitted or refuted, which
    raises the bound; where neither works within the effort it is shelved. From
    above, budgets between bound and best cost are halved, and the roomiest
    purchase within each is fitted. Then both again, with twice the effort.
    """

    def __init__(self, standing: Standing) -> None:
        self._standing = standing
        self._fitting = Fitting(standing)
        self._shelved: list[int] = []

    def round(self, effort: int) -> bool:
        """Search with some effort; False if it is proven that all rolls together do not suffice."""
        standing = self._standing
        if effort == 1 and int(standing.demand.counts.sum()) > FEW_BLANKS:
            # A first plan within a few per cent, before time goes into the last of them.
            self._near_programme()
            if not standing.done and not self._floor():
                return False
            self._from_above(effort, rounds=0)
        if not standing.done and not self._from_below(effort):
            return False
        if not standing.done:
            self._from_above(effort, rounds=4 * effort)
        return True

    def _near_programme(self) -> None:
        """Round what the programme would buy up to whole rolls and fit that, then fewer rolls while they may do."""
        standing, master = self._standing, self._standing.master
        offers = standing.demand.offers
        master.buy()
        master.generate(200)
        shares = [float(length) / offer.length for length, offer in zip(master.bought, offers, strict=True)]
        bought = [min(most, ceil(share - 1e-6)) for share, most in zip(shares, standing.purchases.most, strict=True)]
        self._fitting.ruled_out(bought)
        if not self._fitting.fit(bought, dives=2, rounds=0):
            return
        rounded = [n for n, share in enumerate(shares) if ceil(share - 1e-6) > share + 1e-6 and offers[n].cost]
        fewer = list(bought)
        for n in sorted(rounded, key=lambda n: (-offers[n].cost, n)):
            fewer[n] -= 1
            if standing.done or self._fitting.ruled_out(fewer) or master.share > NEARLY_FULL or master.over.sum() > 0:
                fewer[n] += 1
        if fewer != bought and not standing.done and not self._fitting.ruled_out(fewer):
            self._fitting.fit(fewer, dives=2, rounds=4)

    def _floor(self) -> bool:
        """Raise the bound by cuts alone; False if no purchase is left at all."""
        standing = self._standing
        for _ in range(15):
            purchase = standing.purchases.cheapest(standing.cost)
            if purchase is None:
                if standing.cost is not None:
                    standing.raise_bound(standing.cost)
                return standing.cost is not None
            if not purchase.bought or standing.effort.over():
                return True
            standing.raise_bound(purchase.bound)
            if not self._fitting.ruled_out(purchase.bought):
                return True
        return True

    def _from_below(self, effort: int) -> bool:
        """Fit, refute or shelve the cheapest purchases.

        Returns
        -------
        bool
            False if no purchase is left at all.
        """
        standing, purchases = self._standing, self._standing.purchases
        self._shelved.clear()
        purchases.unshelve()
        while not standing.done and len(self._shelved) < effort:
            purchase = purchases.cheapest_unshelved(standing.cost)
            if purchase is None:
                if standing.cost is not None:
                    standing.raise_bound(min([standing.cost, *self._shelved]))
                return standing.cost is not None or bool(self._shelved)
            if not purchase.bought:
                return True
            standing.raise_bound(min([purchase.bound, *self._shelved]))
            if self._fitting.ruled_out(purchase.bought):
                continue
            for bought in self._candidates(purchase):
                verdict = self._attempt(bought, effort)
                if verdict is not Verdict.OPEN or standing.effort.over():
                    break
            else:
                # Smaller purchases are left out with it; if the model was cut short, it may be dearer than they are.
                self._shelved.append(min(purchase.bound, purchase.cost))
                purchases.shelve(purchase.bought)
        return True

    def _candidates(self, purchase: Purchase) -> list[tuple[int, ...]]:
        """Return the roomiest purchase of the same cost, or else the purchase itself."""
        roomiest = self._standing.purchases.roomiest(purchase.cost)
        if roomiest is None or not roomiest.bought or roomiest.bought == purchase.bought:
            return [purchase.bought]
        return [purchase.bought] if self._fitting.ruled_out(roomiest.bought) else [roomiest.bought]

    def _attempt(self, bought: tuple[int, ...], effort: int) -> Verdict:
        """Fit a purchase, or refute it by listing."""
        standing = self._standing
        self._fitting.ruled_out(bought)
        if self._fitting.fit(bought, dives=3, rounds=0):
            return Verdict.FOUND
        if standing.effort.over():
            return Verdict.OPEN
        self._fitting.ruled_out(bought)
        decision = None
        if standing.pricing.exact and self._rolls(bought) <= FEW_ROLLS:
            decision = close_purchase(standing, bought, most=SMALL_LIST * effort // 2, units=0.5 * effort)
        if decision is not None and decision.filled is not None:
            standing.keep(decision.filled)
            return Verdict.FOUND
        if decision is not None and decision.verdict is Verdict.REFUTED:
            standing.purchases.refute(bought)
            return Verdict.REFUTED
        if decision is not None and decision.chosen is not None:
            return Verdict.FOUND if self._fitting.refit(decision.chosen, bought, 4 * effort) else Verdict.OPEN
        self._fitting.ruled_out(bought)
        return Verdict.FOUND if self._fitting.fit(bought, dives=1, rounds=10 * effort) else Verdict.OPEN

    def _rolls(self, bought: tuple[int, ...]) -> int:
        return sum(n for o, n in zip(self._standing.demand.offers, bought, strict=True) if not o.running)

    def _from_above(self, effort: int, *, rounds: int) -> None:
        """Halve the budget between what is proven and what is found."""
        standing = self._standing
        low = standing.bound
        share, failures = 1, 0
        for _ in range(12):
            if standing.done or failures > 3:
                return
            if standing.cost is None:
                budget = low + max(standing.purchases.step, low * share // 1000)
                share *= 2
            else:
                budget = (low + standing.cost) // 2
                if standing.cost - low <= max(standing.purchases.step, standing.cost // 20_000):
                    return
            purchase = standing.purchases.roomiest(budget)
            if purchase is None or not purchase.bought:
                low = budget
                continue
            if self._fitting.ruled_out(purchase.bought):
                continue
            if self._fitting.fit(purchase.bought, dives=2, rounds=rounds):
                failures = 0
            else:
                low = budget
                failures += standing.cost is not None
