"""Pricing of three-stage crosscuts: blanks follow each other in strips, strips lie side by side."""

from __future__ import annotations

from collections import Counter

import numpy as np

from solver.kernel import Kernel
from solver.rolls.crosscuts import Crosscut, CrosscutPricing
from solver.rolls.demand import Demand, Whole
from solver.rolls.effort import Effort
from solver.rolls.knapsack import DENSE_PICK, DENSE_TABLE

STEPS_EACH = 30_000_000
"""Inner steps one pricing round may take; with more lengths than that only every so many-th is priced."""

MOST_UNITS = 4_000
"""Units of the widest roll and of the longest crosscut."""


def _strip_values(across: Whole, along: Whole, values: Whole, bounds: Whole, lengths: Whole) -> Whole:
    """Return the best value of a strip that each lay begins, in each crosscut length, shape (n_lays, n_lengths).

    Lays run by rising ``across``; behind the first blank come others no wider.
    A lay that is longer than the crosscut begins no strip: its value is 0.
    """
    n = across.shape[0]
    top = lengths[-1]
    best = np.zeros(top + 1, np.int64)
    table = np.zeros((n, lengths.shape[0]), np.int64)
    for lay in range(n):
        left = min(bounds[lay], top // along[lay])
        lot = 1
        while left > 0 and values[lay] > 0:
            lot = min(lot, left)
            step = lot * along[lay]
            gain = lot * values[lay]
            for reach in range(top, step - 1, -1):
                other = best[reach - step] + gain
                if other > best[reach]:
                    best[reach] = other
            left -= lot
            lot *= 2
        if bounds[lay] <= 0:
            continue
        for place in range(lengths.shape[0]):
            rest = lengths[place] - along[lay]
            if rest >= 0:
                table[lay, place] = values[lay] + best[rest]
    return table


STRIP_VALUES = Kernel(_strip_values)


class StackPricing(CrosscutPricing):
    """Pricing of three-stage crosscuts of the lengths that the demand lists.

    A heuristic: two strips of one crosscut may count on the same blank, and
    only the crosscut that is made in the end keeps to the bounds. So its best
    values prove nothing (``exact`` is False).
    """

    exact = False

    def __init__(self, demand: Demand, effort: Effort) -> None:
        super().__init__(demand, effort)
        self._order = np.lexsort((demand.lay_along, demand.lay_across))
        self._round = 0
        # Units coarse enough for the loops: widths of blanks are rounded up and those of rolls down, so that what
        # fits there fits. Lengths are rounded up on both sides; a crosscut is as long as what it holds in the end.
        wide = -(-int(demand.widths[-1]) // MOST_UNITS)
        long = -(-int(demand.lengths[-1]) // MOST_UNITS)
        self._across, self._widths = -(-demand.lay_across // wide), demand.widths // wide
        self._along, self._inner = -(-demand.lay_along // long), -(-(demand.lengths - demand.extra) // long)

    def best_values(self, values: Whole, bounds: Whole) -> Whole:
        """Return about the best value in each crosscut length on each roll width; 0 where none was priced."""
        demand = self.demand
        table = np.zeros((len(demand.lengths), len(demand.widths)), np.int64)
        lays, strips = self._strips(values, bounds)
        if not len(lays):
            return table
        across = self._across[lays]
        steps = len(lays) * int(self._widths[-1])
        every = max(1, -(-steps * len(demand.lengths) // STEPS_EACH))
        self._round += 1
        self.turns = every
        first = np.zeros(len(lays), np.int64)
        run = DENSE_TABLE.compiled if self.compiled else DENSE_TABLE.plain
        for place in range(self._round % every, len(demand.lengths), every):
            table[place] = run(
                first, first + 1, across, strips[:, place], bounds[demand.lay_kind[lays]], 1, self._widths
            )[0]
        self._effort.spend(0.1 + steps * len(demand.lengths) / every * 2e-6)
        return table

    def crosscut(self, length: int, width: int, values: Whole, bounds: Whole) -> Crosscut | None:
        """Return a crosscut made strip by strip, the widest strip first, of what the bounds still allow.

        Strips are chosen as if each had all blanks to itself; where that leaves
        some width, strips are chosen again for it from the blanks that are left.
        """
        demand = self.demand
        left, room = bounds.copy(), int(demand.widths[width])
        made: list[tuple[int, tuple[tuple[int, int], ...]]] = []
        while True:
            lays, strips = self._strips(values, left)
            worth = strips[:, length] if len(lays) else np.zeros(0, np.int64)
            use = (worth > 0) & (demand.lay_across[lays] <= room)
            lays, worth = lays[use], worth[use]
            if not len(lays):
                break
            picked = self._chosen(demand.lay_across[lays], worth, left[demand.lay_kind[lays]], room)
            for place in range(len(lays) - 1, -1, -1):
                lay = int(lays[place])
                for _ in range(int(picked[place])):
                    if left[demand.lay_kind[lay]] > 0:
                        made.append((int(demand.lay_across[lay]), self._strip(lay, length, values, left)))
                        room -= int(demand.lay_across[lay])
        if not made:
            return None
        crosscut = stacked(demand, made)
        longest = int(min(demand.reach[width], demand.lengths[-1] if demand.problem.longest_crosscut else 1 << 60))
        return crosscut if crosscut.length <= longest else None

    def _strips(self, values: Whole, bounds: Whole) -> tuple[Whole, Whole]:
        demand = self.demand
        kinds = demand.lay_kind[self._order]
        lays = self._order[(values[kinds] > 0) & (bounds[kinds] > 0)]
        if not len(lays):
            return lays, np.zeros((0, len(demand.lengths)), np.int64)
        kinds = demand.lay_kind[lays]
        run = STRIP_VALUES.compiled if self.compiled else STRIP_VALUES.plain
        self._effort.spend(0.05 + len(lays) * int(self._inner[-1]) * 3e-6)
        strips = run(self._across[lays], self._along[lays], values[kinds], bounds[kinds], self._inner)
        return lays, strips

    def _strip(self, first: int, length: int, values: Whole, left: Whole) -> tuple[tuple[int, int], ...]:
        """Begin a strip with a lay and add the best of what is no wider; ``left`` is reduced."""
        demand = self.demand
        left[demand.lay_kind[first]] -= 1
        held = Counter({first: 1})
        room = int(self._inner[length] - self._along[first])
        kinds = demand.lay_kind
        fits = (demand.lay_across <= demand.lay_across[first]) & (self._along <= room)
        lays = np.flatnonzero(fits & (left[kinds] > 0) & (values[kinds] > 0))
        if len(lays):
            counts = self._chosen(self._along[lays], values[kinds[lays]], left[kinds[lays]], room)
            for lay, count in zip(lays.tolist(), counts.tolist(), strict=True):
                # Both ways round of a kind may have been picked; together no more than are left.
                taken = min(count, int(left[kinds[lay]]))
                if taken:
                    held[lay] += taken
                    left[kinds[lay]] -= taken
        return tuple(sorted(held.items()))

    def _chosen(self, sizes: Whole, values: Whole, bounds: Whole, room: int) -> Whole:
        run = DENSE_PICK.compiled if self.compiled else DENSE_PICK.plain
        self._effort.spend(0.02 + len(sizes) * room * 3e-6)
        return run(sizes, values, bounds, room)


def stacked(demand: Demand, strips: list[tuple[int, tuple[tuple[int, int], ...]]]) -> Crosscut:
    """Return the crosscut of strips given as (width, ((lay, how many), ...)), as short as they allow."""
    counts: Counter[int] = Counter()
    longest = 0
    for _, lays in strips:
        along = 0
        for lay, count in lays:
            counts[int(demand.lay_kind[lay])] += count
            along += int(demand.lay_along[lay]) * count
        longest = max(longest, along)
    return Crosscut(
        length=longest + demand.extra,
        width=sum(width for width, _ in strips),
        counts=tuple(sorted(counts.items())),
        span=-1,
        strips=tuple(sorted(strips, reverse=True)),
    )
