"""Every pattern that an optimal packing could still contain."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from solver.kernel import Kernel
from solver.sticks.effort import Effort
from solver.sticks.filling import Whole
from solver.sticks.grid import Column, Grid


def _suffix_values(weights: Whole, gains: Whole, copies: Whole, table: NDArray[np.int64]) -> None:
    """Fill ``table[i, c]``: the best value of rails i, i + 1, ... within capacity c."""
    n = weights.shape[0]
    cells = table.shape[1]
    for i in range(n - 1, -1, -1):
        weight = weights[i]
        for c in range(cells):
            table[i, c] = table[i + 1, c]
        for k in range(1, copies[i] + 1):
            gain = gains[i] * k
            for c in range(weight * k, cells):
                value = table[i + 1, c - weight * k] + gain
                if value > table[i, c]:
                    table[i, c] = value


def _list_patterns(
    weights: Whole,
    gains: Whole,
    copies: Whole,
    table: NDArray[np.int64],
    capacity: int,
    least: int,
    found: NDArray[np.int16],
) -> int:
    """Write the maximal patterns worth ``least`` or more; return how many, or -1 if they overflow ``found``."""
    n = weights.shape[0]
    now = np.zeros(n, np.int64)
    count = 0
    left = capacity
    value = 0
    i = 0
    while True:
        while i < n:
            fit = left // weights[i]
            if fit > copies[i]:
                fit = copies[i]
            # Fewer copies may be the only way to the value wanted; never more than fit.
            while fit >= 0 and value + fit * gains[i] + table[i + 1, left - fit * weights[i]] < least:
                fit -= 1
            if fit < 0:
                break
            now[i] = fit
            left -= fit * weights[i]
            value += fit * gains[i]
            i += 1
        if i == n:
            maximal = True
            for j in range(n):
                if now[j] < copies[j] and weights[j] <= left:
                    maximal = False
                    break
            if maximal:
                if count == found.shape[0]:
                    return -1
                for j in range(n):
                    found[count, j] = now[j]
                count += 1
        j = i - 1
        while j >= 0:
            # Take one less of rail j where the value wanted can still be reached.
            left += now[j] * weights[j]
            value -= now[j] * gains[j]
            fit = now[j] - 1
            now[j] = 0
            while fit >= 0 and value + fit * gains[j] + table[j + 1, left - fit * weights[j]] < least:
                fit -= 1
            if fit >= 0:
                now[j] = fit
                left -= fit * weights[j]
                value += fit * gains[j]
                break
            j -= 1
        if j < 0:
            return count
        i = j + 1


SUFFIX_VALUES = Kernel(_suffix_values)
LIST_PATTERNS = Kernel(_list_patterns)

MOST_CELLS = 30_000_000


def columns_within(
    grid: Grid,
    demand: Sequence[int],
    gains: Whole,
    least: Sequence[int | None],
    effort: Effort,
    *,
    most: int,
) -> list[Column] | None:
    """Return every maximal pattern of each size worth ``least`` or more, or None if there are more than ``most``.

    Parameters
    ----------
    grid
        Weights and sizes.
    demand
        No pattern holds more copies of a rail than this.
    gains
        Whole worth of each rail, shape (n_rails,).
    least
        For each size what a pattern must be worth; None leaves the size out.
    effort
        Where work is counted.
    most
        The most patterns to return.
    """
    used = [i for i, count in enumerate(demand) if count]
    cells = max(size.capacity for size in grid.sizes) + 1
    if (len(used) + 1) * cells > MOST_CELLS:
        return None
    weights = np.array([grid.weights[i] for i in used], np.int64)
    copies = np.array([min(demand[i], (cells - 1) // grid.weights[i]) for i in used], np.int64)
    if copies.max() > np.iinfo(np.int16).max:
        return None
    table = np.zeros((len(used) + 1, cells), np.int64)
    steps = int(copies.sum() + len(used)) * cells
    SUFFIX_VALUES.pick(steps)(weights, gains[used], copies, table)
    effort.spend(steps / Effort.CELLS)
    columns: list[Column] = []
    for s, size in enumerate(grid.sizes):
        floor = least[s]
        if floor is None:
            continue
        found = np.zeros((most - len(columns) + 1, len(used)), np.int16)
        form = LIST_PATTERNS.compiled if len(used) > 6 else LIST_PATTERNS.plain
        count = form(weights, gains[used], copies, table, size.capacity, floor, found)
        effort.spend(1 + abs(count) * len(used) / 100_000)
        if count < 0 or count + len(columns) > most:
            return None
        for row in found[:count]:
            held = np.flatnonzero(row)
            columns.append((s, tuple((used[int(k)], int(row[k])) for k in held)))
    return columns
