"""Every crosscut that a better plan could hold: all that lose no more value than there is to lose."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from math import ceil

import numpy as np
from numpy.typing import NDArray

from solver.kernel import Kernel
from solver.rolls.crosscuts import Crosscut, CrosscutPricing
from solver.rolls.demand import Whole
from solver.rolls.effort import Effort

_STEPS_EACH = 4_000_000


def _listed(
    across: Whole,
    values: Whole,
    bounds: Whole,
    decisive: NDArray[np.bool_],
    width: int,
    least: int,
    most: int,
    most_steps: int,
) -> tuple[Whole, int]:
    """Return all fullest choices of blanks worth ``least`` or more, with one decisive blank or more.

    A choice is fullest when no blank can be added to it. Lays run by falling
    value for their width. The second number returned is the steps taken, or -1
    if there are more than ``most`` choices or it takes more than ``most_steps``.
    """
    n = across.shape[0]
    found = np.empty((most, n), np.int64)
    size = 0
    counts = np.zeros(n, np.int64)
    left = width
    worth = 0
    lay = 0
    steps = 0
    narrowest = np.empty(n + 1, np.int64)
    narrowest[n] = width + 1
    for i in range(n - 1, -1, -1):
        narrowest[i] = min(narrowest[i + 1], across[i]) if bounds[i] > 0 else narrowest[i + 1]
    while True:
        steps += 1
        if steps > most_steps:
            return found[:size], -1
        hopeless = False
        if lay < n:
            # What is left cannot be filled better than with the best blank still open.
            hopeless = worth + left * (values[lay] / across[lay]) < least - 1e-9 * least
        elif worth < least:
            hopeless = True
        if not hopeless and (lay == n or left < narrowest[lay]):
            good = worth >= least
            if good:
                good = False
                for i in range(n):
                    if counts[i] > 0 and decisive[i]:
                        good = True
                        break
            if good:
                for i in range(n):
                    if counts[i] < bounds[i] and across[i] <= left:
                        good = False
                        break
            if good:
                if size == most:
                    return found[:size], -1
                found[size] = counts
                size += 1
            hopeless = True
        if not hopeless:
            take = min(bounds[lay], left // across[lay])
            counts[lay] = take
            left -= take * across[lay]
            worth += take * values[lay]
            lay += 1
            continue
        # Go back to the last blank that can be left out.
        lay -= 1
        while lay >= 0 and counts[lay] == 0:
            lay -= 1
        if lay < 0:
            return found[:size], steps
        counts[lay] -= 1
        left += across[lay]
        worth -= values[lay]
        lay += 1


LISTED = Kernel(_listed)


def crosscuts_within(
    pricing: CrosscutPricing,
    effort: Effort,
    values: Whole,
    demand: Whole,
    density: Sequence[Fraction],
    slack: Sequence[Fraction],
    most: int,
) -> list[tuple[Crosscut, int]] | None:
    """Return the fullest crosscuts on each width that lose at most ``slack`` of value, or None if over ``most``.

    Parameters
    ----------
    values
        Whole-number value of each kind, shape (n_kinds,).
    demand
        Most blanks of each kind a crosscut may hold, shape (n_kinds,).
    density
        Value a unit of length must bring on each width; a crosscut's loss is its
        length times this, less the value of its blanks.
    slack
        Most value a crosscut may lose, for each width.
    """
    order = pricing.demand
    fits = order.fits()
    found: list[tuple[Crosscut, int]] = []
    wanted = demand[order.lay_kind] > 0
    for span in np.unique(order.start[wanted]).tolist():
        lays = np.flatnonzero(wanted & (order.start <= span) & (span < order.stop))
        kinds = order.lay_kind[lays]
        rank = np.lexsort((lays, -values[kinds] / order.lay_across[lays]))
        lays, kinds = lays[rank], kinds[rank]
        for width in range(len(order.widths)):
            if not fits[span, width] or slack[width] < 0:
                continue
            least = max(0, ceil(density[width] * int(order.lengths[span]) - slack[width]))
            run = LISTED.compiled if pricing.compiled else LISTED.plain
            rows, steps = run(
                order.lay_across[lays],
                values[kinds],
                np.minimum(demand[kinds], order.widths[width] // order.lay_across[lays]),
                order.start[lays] == span,
                int(order.widths[width]),
                least,
                most - len(found) + 1,
                _STEPS_EACH,
            )
            effort.spend(0.08 + max(steps, 0) * 1e-5)
            if steps < 0 or len(found) + len(rows) > most or effort.over():
                return None
            found += [(pricing.made(lays, row), width) for row in rows]
    return found
