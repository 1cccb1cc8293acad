"""Which rolls to buy, and the proof that fewer will not do: purchases tried from the cheapest up."""

from __future__ import annotations

from fractions import Fraction

from solver.rolls.closing import SMALL_LIST, close_purchase
from solver.rolls.decide import Verdict
from solver.rolls.fitting import fit, ruled_out
from solver.rolls.standing import Standing

SURE = (Fraction(16, 1000), Fraction(8, 1000), Fraction(4, 1000), Fraction(2, 1000), Fraction(1, 1000))
"""Shares of the rolls' length kept free, from the surest purchase to the cheapest."""


class Buying:
    """The search over purchases, for whole rolls and running length alike."""

    def __init__(self, standing: Standing) -> None:
        self._standing = standing
        self._open: list[tuple[int, tuple[int, ...]]] = []

    def search(self) -> bool:
        """Search until proven or a limit is hit; False if it is proven that all rolls together do not suffice."""
        standing = self._standing
        blanks = int(standing.demand.counts.sum())
        if blanks > 80:
            self._sure_purchases()
        if blanks > 400:
            self._narrow(rounds=20)
        if not self._ascend(dives=3, rounds=20):
            return standing.cost is not None or bool(self._open)
        if not standing.done:
            self._narrow(rounds=20)
        effort = 60
        while not standing.done and self._open:
            self._revisit(effort)
            effort *= 2
            if effort > 4_000:
                break
        return True

    def _sure_purchases(self) -> None:
        """Find a first plan with rolls to spare, then with less and less."""
        standing = self._standing
        for slack in SURE:
            found = self._with_slack(slack, dives=1, rounds=0)
            if standing.done or found is False:
                return

    def _narrow(self, rounds: int) -> None:
        """Halve the share kept free between what was found and nothing."""
        standing = self._standing
        low, high = Fraction(0), Fraction(2, 1000)
        for _ in range(6):
            if standing.done:
                return
            middle = (low + high) / 2
            found = self._with_slack(middle, dives=2, rounds=rounds)
            if found is None:
                low, high = low / 2, middle
            elif found:
                high = middle
            else:
                low = middle

    def _with_slack(self, slack: Fraction, *, dives: int, rounds: int) -> bool | None:
        """Try the cheapest purchase with a share kept free; None if it would not be cheaper than the best plan."""
        standing = self._standing
        for _ in range(20):
            purchase = standing.purchases.cheapest(standing.cost, slack)
            if purchase is None or not purchase.bought:
                return None
            if ruled_out(standing, purchase.bought):
                continue
            return fit(standing, purchase.bought, dives=dives, rounds=rounds)
        return None

    def _ascend(self, *, dives: int, rounds: int) -> bool:
        """Try purchases from the cheapest up; each is fitted, refuted, or left open.

        Returns
        -------
        bool
            False if no purchase is left and none was found to suffice.
        """
        standing = self._standing
        for _ in range(200):
            if standing.done:
                return True
            purchase = standing.purchases.cheapest(standing.cost)
            if purchase is None:
                if standing.cost is None:
                    return False
                standing.raise_bound(min([standing.cost] + [cost for cost, _ in self._open]))
                return True
            if not purchase.bought:
                return True
            standing.raise_bound(min([purchase.bound] + [cost for cost, _ in self._open]))
            if ruled_out(standing, purchase.bought):
                continue
            if fit(standing, purchase.bought, dives=dives, rounds=0):
                continue
            if standing.effort.over():
                return True
            verdict = self._decided(purchase.bought, SMALL_LIST, 2.0)
            if verdict is Verdict.OPEN and not self._fit_again(purchase.bought, rounds):
                self._open.append((purchase.cost, purchase.bought))
                standing.purchases.refute(purchase.bought)
                if len(self._open) > 12:
                    return True
        return True

    def _decided(self, bought: tuple[int, ...], most: int, units: float) -> Verdict:
        """Decide a purchase by listing; the master must just have been measured against it or be measured again."""
        standing = self._standing
        ruled_out(standing, bought)
        decision = close_purchase(standing, bought, most=most, units=units)
        if decision is None:
            return Verdict.OPEN
        if decision.filled is not None:
            standing.keep(decision.filled)
            return Verdict.FOUND
        if decision.verdict is Verdict.REFUTED:
            standing.purchases.refute(bought)
        return decision.verdict

    def _fit_again(self, bought: tuple[int, ...], rounds: int) -> bool:
        ruled_out(self._standing, bought)
        return fit(self._standing, bought, dives=1, rounds=rounds)

    def _revisit(self, effort: int) -> None:
        """Go back to the open purchases, cheapest first, with more effort."""
        standing = self._standing
        standing.raise_bound(min(cost for cost, _ in self._open))
        for cost, bought in sorted(self._open):
            if standing.done:
                return
            if standing.cost is not None and cost >= standing.cost:
                self._open.remove((cost, bought))
                continue
            verdict = self._decided(bought, SMALL_LIST * effort // 30, effort / 10)
            if verdict is Verdict.OPEN and not self._fit_again(bought, effort):
                continue
            self._open.remove((cost, bought))
        if standing.cost is not None:
            left = [cost for cost, _ in self._open if cost < standing.cost]
            purchase = standing.purchases.cheapest(standing.cost)
            if purchase is None:
                standing.raise_bound(min([standing.cost, *left]))
            elif purchase.bought:
                standing.raise_bound(min([purchase.bound, *left]))
