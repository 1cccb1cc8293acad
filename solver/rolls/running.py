"""Running length: the least cost where cloth is cut off the supplier's roll, beside free rolls on hand."""

from __future__ import annotations

import numpy as np

from solver.rolls.closing import SMALL_LIST, close_running
from solver.rolls.decide import Verdict
from solver.rolls.dive import dive
from solver.rolls.master import Floats
from solver.rolls.neighbourhood import Neighbourhood
from solver.rolls.standing import Standing
from solver.rolls.trimming import Chosen


class Running:
    """The search for the least weighted length; the selling step only counts in the cost of what is found."""

    def __init__(self, standing: Standing) -> None:
        self._standing = standing
        self._rates = _rates(standing)
        self._best: Chosen | None = None
        self._attempts = min(40, max(5, int(standing.demand.counts.sum()) // 5))

    def dive(self, dives: int) -> None:
        """Dive a few times and keep the best."""
        standing = self._standing
        for attempt in range(dives):
            if standing.done:
                return
            standing.master.buy()
            found = dive(standing.master, standing.effort, standing.chance, noise=0.3 if attempt else 0.0)
            if found is None:
                return
            standing.keep_on_best_rolls(found)
            if self._best is None or _worth(found, self._rates) < _worth(self._best, self._rates):
                self._best = found

    def round(self, effort: int) -> None:
        """Close the gap by listing if that is within the effort, else search around the best."""
        standing = self._standing
        if standing.done or self._best is None:
            return
        if standing.pricing.exact:
            verdict = close_running(standing, most=SMALL_LIST * (effort + 1) // 4, units=0.5 * effort)
            if verdict is not Verdict.OPEN or standing.done:
                return
        rates = self._rates / self._rates.max()
        search = Neighbourhood(standing.master, standing.effort, standing.chance, rates, None)
        for _ in range(self._attempts):
            if standing.done:
                return
            better = search.improved(self._best)
            if better is not None:
                self._best = better
                standing.keep_on_best_rolls(better)


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
