"""Whole-number knapsack loops over the width of a roll, in a dense and a sparse form.

Both answer the same two questions exactly: what is the best value of blanks that
lie side by side in each crosscut length on each roll width, and which blanks are
they. The dense form walks over every width unit; the sparse form keeps only the
widths at which the best value rises and so does not mind a fine unit.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from solver.kernel import Kernel

Whole = NDArray[np.int64]
List = tuple[Whole, Whole]
"""Best value (second) at rising used widths (first): only where the value rises."""


def _dense_table(
    start: Whole, stop: Whole, across: Whole, values: Whole, bounds: Whole, n_lengths: int, widths: Whole
) -> Whole:
    """Return the best value in each crosscut length on each roll width, shape (n_lengths, n_widths).

    Lays are active in the lengths from ``start`` up to ``stop``; the range of
    lengths is halved again and again, and a lay enters the table once for each
    half it is active in all through.
    """
    top = widths[-1]
    table = np.zeros((n_lengths, widths.shape[0]), np.int64)
    best = np.zeros((34, top + 1), np.int64)
    low = np.zeros(80, np.int64)
    high = np.zeros(80, np.int64)
    above_low = np.zeros(80, np.int64)
    above_high = np.zeros(80, np.int64)
    level = np.zeros(80, np.int64)
    size = 1
    high[0] = n_lengths
    above_low[0] = -1
    above_high[0] = n_lengths + 1
    level[0] = 1
    while size > 0:
        size -= 1
        a = low[size]
        b = high[size]
        over_a = above_low[size]
        over_b = above_high[size]
        depth = level[size]
        row = best[depth]
        row[:] = best[depth - 1]
        for lay in range(start.shape[0]):
            if start[lay] > a or stop[lay] < b or (start[lay] <= over_a and stop[lay] >= over_b):
                continue
            width = across[lay]
            value = values[lay]
            left = min(bounds[lay], top // width)
            if value <= 0:
                continue
            lot = 1
            while left > 0:
                lot = min(lot, left)
                step = lot * width
                gain = lot * value
                for reach in range(top, step - 1, -1):
                    other = row[reach - step] + gain
                    if other > row[reach]:
                        row[reach] = other
                left -= lot
                lot *= 2
        if b - a == 1:
            for k in range(widths.shape[0]):
                table[a, k] = row[widths[k]]
            continue
        middle = (a + b) // 2
        low[size] = middle
        high[size] = b
        above_low[size] = a
        above_high[size] = b
        level[size] = depth + 1
        size += 1
        low[size] = a
        high[size] = middle
        above_low[size] = a
        above_high[size] = b
        level[size] = depth + 1
        size += 1
    return table


def _dense_pick(across: Whole, values: Whole, bounds: Whole, width: int) -> Whole:
    """Return how many of each lay the best crosscut on this width holds, shape (n_lays,)."""
    n_rows = 0
    for lay in range(across.shape[0]):
        left = min(bounds[lay], width // across[lay])
        lot = 1
        while left > 0:
            left -= min(lot, left)
            lot *= 2
            n_rows += 1
    taken = np.zeros((n_rows, width + 1), np.uint8)
    row_lay = np.zeros(n_rows, np.int64)
    row_lot = np.zeros(n_rows, np.int64)
    best = np.zeros(width + 1, np.int64)
    row = 0
    for lay in range(across.shape[0]):
        left = min(bounds[lay], width // across[lay])
        lot = 1
        while left > 0:
            lot = min(lot, left)
            step = lot * across[lay]
            gain = lot * values[lay]
            for reach in range(width, step - 1, -1):
                other = best[reach - step] + gain
                if other > best[reach]:
                    best[reach] = other
                    taken[row, reach] = 1
            row_lay[row] = lay
            row_lot[row] = lot
            row += 1
            left -= lot
            lot *= 2
    counts = np.zeros(across.shape[0], np.int64)
    reach = width
    for row in range(n_rows - 1, -1, -1):
        if taken[row, reach]:
            counts[row_lay[row]] += row_lot[row]
            reach -= row_lot[row] * across[row_lay[row]]
    return counts


def _merged(used: Whole, best: Whole, width: int, value: int, capacity: int) -> List:
    """Return a sparse list with one more blank on offer, ``width`` wide and worth ``value``."""
    n = used.shape[0]
    more = 0
    while more < n and used[more] + width <= capacity:
        more += 1
    new_used = np.empty(n + more, np.int64)
    new_best = np.empty(n + more, np.int64)
    size = 0
    i = 0
    j = 0
    top = -1
    while i < n or j < more:
        if j >= more or (i < n and used[i] <= used[j] + width):
            at = used[i]
            worth = best[i]
            i += 1
        else:
            at = used[j] + width
            worth = best[j] + value
            j += 1
        if worth > top:
            if size > 0 and new_used[size - 1] == at:
                size -= 1
            new_used[size] = at
            new_best[size] = worth
            size += 1
            top = worth
    return new_used[:size].copy(), new_best[:size].copy()


def _roll_best(lengths: Whole, values: Whole, room: int) -> Whole:
    """Return the best value of crosscuts, each as often as wanted, in every length up to ``room``."""
    best = np.zeros(room + 1, np.int64)
    for reach in range(1, room + 1):
        top = best[reach - 1]
        for i in range(lengths.shape[0]):
            if lengths[i] > reach:
                break
            other = best[reach - lengths[i]] + values[i]
            if other > top:
                top = other
        best[reach] = top
    return best


DENSE_TABLE = Kernel(_dense_table)
DENSE_PICK = Kernel(_dense_pick)
MERGED = Kernel(_merged)
ROLL_BEST = Kernel(_roll_best)


class SparseKnapsack:
    """The sparse form; ``compiled`` says whether the merging loop runs as machine code."""

    def __init__(self, *, compiled: bool) -> None:
        self._merge = MERGED.compiled if compiled else MERGED.plain
        self.steps = 0

    def table(
        self, start: Whole, stop: Whole, across: Whole, values: Whole, bounds: Whole, n_lengths: int, widths: Whole
    ) -> Whole:
        """Return the best value in each crosscut length on each roll width, as the dense form does."""
        table = np.zeros((n_lengths, len(widths)), np.int64)
        lays = [lay for lay in range(len(start)) if values[lay] > 0 and bounds[lay] > 0]
        empty = (np.zeros(1, np.int64), np.zeros(1, np.int64))
        spans = [(0, n_lengths, lays, empty)]
        top = int(widths[-1])
        while spans:
            low, high, here, found = spans.pop()
            inner = []
            for lay in here:
                if start[lay] <= low and stop[lay] >= high:
                    found = self._offered(found, int(across[lay]), int(values[lay]), int(bounds[lay]), top)
                elif start[lay] < high and stop[lay] > low:
                    inner.append(lay)
            if not inner:
                row = found[1][np.searchsorted(found[0], widths, side="right") - 1]
                table[low:high] = row
                continue
            middle = (low + high) // 2
            spans += [(middle, high, inner, found), (low, middle, inner, found)]
        return table

    def pick(self, across: Whole, values: Whole, bounds: Whole, width: int) -> Whole:
        """Return how many of each lay the best crosscut on this width holds, as the dense form does."""
        found = (np.zeros(1, np.int64), np.zeros(1, np.int64))
        stages = []
        for lay in range(len(across)):
            left, lot = min(int(bounds[lay]), width // int(across[lay])), 1
            while left > 0:
                lot = min(lot, left)
                stages.append((lay, lot, found))
                found = self._one(found, lot * int(across[lay]), lot * int(values[lay]), width)
                left, lot = left - lot, lot * 2
        at, worth = int(found[0][-1]), int(found[1][-1])
        counts = np.zeros(len(across), np.int64)
        for lay, lot, before in reversed(stages):
            place = int(np.searchsorted(before[0], at, side="right")) - 1
            if before[1][place] < worth:
                counts[lay] += lot
                at -= lot * int(across[lay])
                worth -= lot * int(values[lay])
        return counts

    def _offered(self, found: List, width: int, value: int, bound: int, capacity: int) -> List:
        left, lot = min(bound, capacity // width), 1
        while left > 0:
            lot = min(lot, left)
            found = self._one(found, lot * width, lot * value, capacity)
            left, lot = left - lot, lot * 2
        return found

    def _one(self, found: List, width: int, value: int, capacity: int) -> List:
        self.steps += 2 * len(found[0])
        return self._merge(found[0], found[1], width, value, capacity)
