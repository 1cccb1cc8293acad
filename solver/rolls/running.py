"""Running length: the least cost where cloth is cut off the supplier's roll, beside free rolls on hand."""

from __future__ import annotations

from fractions import Fraction

import numpy as np

from solver.rolls.closing import SMALL_LIST, close_running
from solver.rolls.dive import dive
from solver.rolls.master import Floats
from solver.rolls.neighbourhood import Neighbourhood
from solver.rolls.recreate import WORTH_COMPILING, Recreating
from solver.rolls.standing import Standing
from solver.rolls.trimming import Chosen

FEW_BLANKS = 80
"""Blanks up to which it pays to list much before searching around."""
CALLS, CALLS_BESIDE_STEPS = 100, 15
"""Calls for taking crosscuts apart and building them anew, at each effort."""
IDLE = 10
"""Attempts without gain after which the search turns from length to steps and back."""


class Running:
    """The search for the least weighted length; the selling step only counts in the cost of what is found."""

    def __init__(self, standing: Standing) -> None:
        self._standing = standing
        self._rates = _rates(standing)
        self._best: Chosen | None = None
        self._stepped: Chosen | None = None
        self._attempts = min(40, max(5, int(standing.demand.counts.sum()) // 5))
        self._steps = _steps(standing)
        # Where started steps are paid, the least length is only half the way.
        self._calls = CALLS if self._steps is None else CALLS_BESIDE_STEPS
        master = standing.master
        self._values = master.duals * master.scale if hasattr(master, "duals") else None

    def dive(self, dives: int) -> None:
        """Dive a few times and keep the best."""
        standing = self._standing
        for attempt in range(dives):
            # Even where a limit was hit already, the programme is worth rounding once.
            if standing.proven or (attempt and standing.done):
                return
            standing.master.buy()
            found = dive(standing.master, standing.effort, standing.chance, noise=0.3 if attempt else 0.0)
            if found is None:
                return
            standing.keep_on_best_rolls(found)
            if self._best is None or _worth(found, self._rates) < _worth(self._best, self._rates):
                self._best = found
        self._recreate(self._calls)

    def round(self, effort: int) -> None:
        """Close the gap by listing if that is within the effort, else search around the best."""
        standing = self._standing
        if standing.done or self._best is None:
            return
        many = int(standing.demand.counts.sum()) > FEW_BLANKS
        if standing.pricing.exact and not (many and effort == 1):
            self._close(effort)
            if standing.done:
                return
        if effort > 1 or self._steps is None:
            self._recreate(self._calls * effort)
        if effort > 1:
            self._recreate_afresh(self._calls * effort)
        self._improve(None)
        if standing.pricing.exact and many and effort == 1:
            self._close(effort)
        if self._steps is not None:
            self._improve(self._steps)

    def _recreate(self, calls: int) -> None:
        """Take crosscuts of the best apart and build them anew."""
        if self._best is not None:
            self._best = self._recreated(self._best, calls)

    def _recreate_afresh(self, calls: int) -> None:
        """Do the same from another dive, lest the best be a dead end."""
        standing = self._standing
        if standing.done or self._best is None or not Recreating.suits(standing.pricing, self._best):
            return
        standing.master.buy()
        found = dive(standing.master, standing.effort, standing.chance, noise=0.5)
        if found is not None:
            found = self._recreated(found, calls)
            if _worth(found, self._rates) <= _worth(self._best, self._rates):
                self._best = found

    def _recreated(self, chosen: Chosen, calls: int) -> Chosen:
        standing = self._standing
        early = self._steps is not None and standing.effort.work < WORTH_COMPILING
        if self._values is None or early or standing.done or not Recreating.suits(standing.pricing, chosen):
            return chosen
        rates = self._rates / self._rates.max()
        search = Recreating(standing.pricing, standing.effort, standing.chance, rates, None, self._values)
        for found in search.searched(chosen, calls):
            if found is not chosen:
                chosen = found
                standing.keep_on_best_rolls(found)
            if standing.done:
                break
        return chosen

    def _improve(self, steps: list[int] | None) -> None:
        """Search around the best for less length, or for fewer started steps."""
        standing = self._standing
        if standing.done or self._best is None:
            return
        rates = self._rates / self._rates.max()
        search = Neighbourhood(standing.master, standing.effort, standing.chance, rates, None, steps)
        found = self._best if steps is None else self._stepped or self._best
        if self._stepped and steps and search.value(self._best) < search.value(self._stepped):
            found = self._best
        idle = 0
        for _ in range(self._attempts):
            if standing.done or idle >= IDLE:
                break
            better = search.improved(found)
            idle += 1
            if better is not None:
                idle = idle if search.value(better) == search.value(found) else 0
                found = better
                standing.keep_on_best_rolls(better)
        if steps is None:
            self._best = found
        else:
            self._stepped = found

    def _close(self, effort: int) -> None:
        """Decide over the crosscuts of the cheapest plans first, then over all that a better plan could hold."""
        many = int(self._standing.demand.counts.sum()) > FEW_BLANKS
        most = SMALL_LIST // 3 if many and effort == 1 else SMALL_LIST * (effort + 1) // 2
        for share, units in ((Fraction(1, 3), 0.5), (Fraction(1), 1.0 if many else 4.0)):
            if not self._standing.done:
                close_running(self._standing, most=most, units=units * effort, share=share)


def _steps(standing: Standing) -> list[int] | None:
    """Return the selling step of each width; None where steps are as fine as lengths or other offers take part."""
    steps = [0] * len(standing.demand.widths)
    for offer in standing.demand.offers:
        if not offer.running or steps[offer.width]:
            return None
        steps[offer.width] = offer.length
    return steps if max(steps) > 1 else None


def _rates(standing: Standing) -> Floats:
    """Return the cost of a unit of length on each width; where only free rolls lie, next to nothing."""
    rates = np.full(len(standing.demand.widths), 0.0)
    for width in range(len(rates)):
        sold = [o.cost / o.length for o in standing.demand.offers if o.width == width and o.running]
        rates[width] = min(sold, default=0.0)
    floor = 0.05 * max(float(rates.max()), 1e-9)
    return np.asarray(np.maximum(rates, floor))


def _worth(chosen: Chosen, rates: Floats) -> float:
    return sum(float(rates[width]) * crosscut.length * copies for crosscut, width, copies in chosen)
