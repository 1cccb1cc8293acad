"""Running length: the least cost where cloth is cut off the supplier's roll, beside free rolls on hand."""

from __future__ import annotations

import numpy as np

from solver.rolls.closing import SMALL_LIST, close_running
from solver.rolls.decide import Verdict
from solver.rolls.dive import dive
from solver.rolls.neighbourhood import Neighbourhood
from solver.rolls.standing import Standing
from solver.rolls.trimming import Chosen

PATIENCE = 8
"""Batches of attempts without any gain after which the search around the best is given up."""


def search_running(standing: Standing) -> None:
    """Dive, search around the best, and close the gap by listing, until proven or a limit is hit."""
    rates = _rates(standing)
    best: Chosen | None = None
    for attempt in range(4):
        if standing.done:
            return
        standing.master.buy()
        found = dive(standing.master, standing.effort, standing.chance, noise=0.3 if attempt else 0.0)
        if found is None:
            return
        standing.keep_on_best_rolls(found)
        if best is None or _worth(found, rates) < _worth(best, rates):
            best = found
    most, units, idle = SMALL_LIST, 2.0, 0
    while best is not None and not standing.done and idle < PATIENCE:
        if standing.pricing.exact and close_running(standing, most=most, units=units) is not Verdict.OPEN:
            return
        search = Neighbourhood(standing.master, standing.effort, standing.chance, rates / rates.max(), None)
        idle += 1
        for _ in range(40):
            if standing.done:
                return
            better = search.improved(best, standing.chance.randint(8, 28))
            if better is not None:
                best, idle = better, 0
                standing.keep_on_best_rolls(best)
        most, units = most * 3 // 2, units * 1.5


def _rates(standing: Standing) -> np.typing.NDArray[np.float64]:
    """Return the cost of a unit of length on each width; where only free rolls lie, next to nothing."""
    rates = np.full(len(standing.demand.widths), 0.0)
    for width in range(len(rates)):
        sold = [o.cost / o.length for o in standing.demand.offers if o.width == width and o.running]
        rates[width] = min(sold, default=0.0)
    floor = 0.05 * max(float(rates.max()), 1e-9)
    return np.asarray(np.maximum(rates, floor))


def _worth(chosen: Chosen, rates: np.typing.NDArray[np.float64]) -> float:
    return sum(float(rates[width]) * crosscut.length * copies for crosscut, width, copies in chosen)
