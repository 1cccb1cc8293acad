"""The fullest values that sticks of every capacity can hold: bounded knapsacks, solved exactly.

Two methods on whole numbers give the same values. A table over all capacities
answers for every size at once; where the grid is so fine that the table grows
large, a search by depth with a fractional bound answers size by size.

References
----------
Both methods are textbook: Kellerer, Pferschy, Pisinger, Knapsack Problems
(2004), ch. 7 (bounded knapsacks: binary splitting, branch and bound).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from solver.kernel import Kernel
from solver.sticks.effort import Effort
from solver.sticks.grid import Grid, Pattern, doubling

Whole = NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Filling:
    """For each size the best value and a pattern that reaches it.

    ``values`` has shape (n_sizes,); ``exact`` is False where a search was cut
    short, and the value then is an upper bound that the pattern may not reach.
    """

    values: list[int]
    patterns: list[Pattern]
    exact: bool = True


def _fill_sizes(
    weights: Whole,
    gains: Whole,
    most: Whole,
    capacities: Whole,
    rails: Whole,
    heavy: Whole,
    best: Whole,
    taken: NDArray[np.uint8],
    values: Whole,
    held: NDArray[np.int32],
) -> None:
    """Fill the table with ``most`` copies of each rail, and read what each size holds.

    ``rails`` and ``heavy`` are scratch, shape (n_rows,); ``values`` and ``held``
    get the answers, shapes (n_sizes,) and (n_sizes, n_rails).
    """
    cells = best.shape[0]
    rows = 0
    for i in range(weights.shape[0]):
        left = most[i]
        step = 1
        while left > 0:
            times = min(step, left)
            left -= times
            step *= 2
            weight = weights[i] * times
            gain = gains[i] * times
            rails[rows] = i
            heavy[rows] = weight
            # From the top in blocks as long as the rail: a block never reads what it writes.
            end = cells
            while end > weight:
                start = max(weight, end - weight)
                into = best[start:end]
                from_ = best[start - weight : end - weight]
                mark = taken[rows, start:end]
                for c in range(into.shape[0]):
                    new = from_[c] + gain
                    old = into[c]
                    mark[c] = new > old
                    into[c] = max(new, old)
                end = start
            rows += 1
    for s in range(capacities.shape[0]):
        room = capacities[s]
        values[s] = best[room]
        for row in range(rows - 1, -1, -1):
            if heavy[row] <= room and taken[row, room]:
                held[s, rails[row]] += heavy[row] // weights[rails[row]]
                room -= heavy[row]


def _search_depth(
    weights: Whole, gains: Whole, most: Whole, capacity: int, nodes: int, taken: Whole, answer: Whole
) -> None:
    """Search with rails by falling gain per weight; ``answer`` gets value, upper bound, nodes used."""
    n = weights.shape[0]
    smallest = np.empty(n + 1, np.int64)
    smallest[n] = capacity + 1
    for i in range(n - 1, -1, -1):
        smallest[i] = min(weights[i], smallest[i + 1])
    now = np.zeros(n, np.int64)
    left = capacity
    value = 0
    best = -1
    used = 0
    top = 0
    i = 0
    while True:
        # Go down: take as many of each rail as fit.
        hopeless = False
        while i < n:
            if left < smallest[i]:
                break
            if value + left * gains[i] // weights[i] <= best:
                hopeless = True
                break
            fit = left // weights[i]
            if fit > most[i]:
                fit = most[i]
            now[i] = fit
            left -= fit * weights[i]
            value += fit * gains[i]
            i += 1
            used += 1
        if not hopeless and value > best:
            best = value
            for j in range(n):
                taken[j] = now[j] if j < i else 0
        # Go back to the last rail taken and take one less of it.
        j = i - 1
        while j >= 0 and now[j] == 0:
            j -= 1
        if j < 0:
            break
        if used > nodes:
            # What is still open is bounded by the fractional value at each rail taken on the way down.
            while j >= 0:
                if now[j] > 0:
                    value -= now[j] * gains[j]
                    left += now[j] * weights[j]
                    bound = value + left * gains[j] // weights[j]
                    if bound > top:
                        top = bound
                j -= 1
            break
        now[j] -= 1
        left += weights[j]
        value -= gains[j]
        for k in range(j + 1, n):
            now[k] = 0
        i = j + 1
        used += 1
    answer[0] = best
    answer[1] = max(best, top)
    answer[2] = used


FILL_SIZES = Kernel(_fill_sizes)
SEARCH_DEPTH = Kernel(_search_depth)


class Filler:
    """Fills the sizes of one grid for changing gains and copies.

    Parameters
    ----------
    grid
        The problem.
    effort
        Where work is counted.
    """

    TABLE_BYTES = 160_000_000
    TABLE_COMFORT = 3_000_000
    NODE_CELLS = 30
    """A node of the search by depth takes as long as so many cells of the table."""

    def __init__(self, grid: Grid, effort: Effort) -> None:
        self.grid = grid
        self.effort = effort
        self._weights = np.array(grid.weights, np.int64)
        self._capacities = [size.capacity for size in grid.sizes]
        self._cells = max(self._capacities) + 1
        self._fits = (self._cells - 1) // self._weights
        self._done = 0
        self._table_next = 0
        self._taken = np.zeros((0, self._cells), np.uint8)

    def fill(self, gains: Whole, copies: Whole) -> Filling:
        """Return the best value of each size when rail i gains ``gains[i]`` and at most ``copies[i]`` exist.

        Parameters
        ----------
        gains
            Whole numbers, shape (n_rails,); a stick's total stays under 2**42.
        copies
            Rails left, shape (n_rails,).
        """
        most = np.where((gains > 0) & (copies > 0), np.minimum(copies, self._fits), 0)
        # So many doublings as binary digits.
        rows = int(np.frexp(most)[1].sum())
        cells = rows * self._cells
        if cells <= self.TABLE_COMFORT or (self._table_next > 0 and cells <= self.TABLE_BYTES):
            self._table_next -= 1
            return self._by_table(gains, most, rows)
        affordable = cells <= self.TABLE_BYTES
        nodes = cells // self.NODE_CELLS if affordable else 20_000_000
        found = self._by_depth(gains, copies, np.flatnonzero(most).tolist(), nodes)
        if not found.exact and affordable:
            # The search by depth did not pay here; do not try it again for a while.
            self._table_next = 20
            return self._by_table(gains, most, rows)
        return found

    def _by_table(self, gains: Whole, most: Whole, rows: int) -> Filling:
        cells = self._cells
        best = np.zeros(cells, np.int64)
        if self._taken.shape[0] < rows:
            self._taken = np.zeros((rows + 20, cells), np.uint8)
        taken = self._taken
        self.effort.spend(rows * cells / Effort.CELLS + 0.05)
        if self._light(rows * cells):
            return self._by_numpy(gains, most, best, taken)
        values = np.zeros(len(self._capacities), np.int64)
        held = np.zeros((len(self._capacities), len(gains)), np.int32)
        rails, heavy = np.zeros(rows, np.int64), np.zeros(rows, np.int64)
        capacities = np.array(self._capacities, np.int64)
        FILL_SIZES.compiled(self._weights, gains, most, capacities, rails, heavy, best, taken, values, held)
        patterns = []
        for row in held:
            used = np.flatnonzero(row)
            patterns.append(tuple(zip(used.tolist(), row[used].tolist(), strict=True)))
        return Filling(values.tolist(), patterns)

    def _by_numpy(self, gains: Whole, most: Whole, best: Whole, taken: NDArray[np.uint8]) -> Filling:
        """Return the same without machine code."""
        cells = self._cells
        rows = [(int(i), times) for i in np.flatnonzero(most) for times in doubling(int(most[i]))]
        for row, (i, times) in enumerate(rows):
            weight = int(self._weights[i]) * times
            new = best[: cells - weight] + int(gains[i]) * times
            taken[row, weight:] = new > best[weight:]
            best[weight:] = np.maximum(best[weight:], new)
        heavy = [int(self._weights[i]) * times for i, times in rows]
        values, patterns = [], []
        for capacity in self._capacities:
            values.append(int(best[capacity]))
            left = capacity
            pattern: dict[int, int] = {}
            for row in range(len(rows) - 1, -1, -1):
                if heavy[row] <= left and taken[row, left]:
                    i, times = rows[row]
                    pattern[i] = pattern.get(i, 0) + times
                    left -= heavy[row]
            patterns.append(tuple(sorted(pattern.items())))
        return Filling(values, patterns)

    def _by_depth(self, gains: Whole, copies: Whole, useful: list[int], nodes: int) -> Filling:
        density = gains / self._weights
        useful = sorted(useful, key=lambda i: (-density[i], i))
        weights = self._weights[useful]
        worth = gains[useful]
        most = copies[useful]
        values, patterns, exact = [], [], True
        for capacity in self._capacities:
            taken = np.zeros(len(useful), np.int64)
            answer: Any = np.zeros(3, np.int64)
            search = SEARCH_DEPTH.compiled if len(useful) > 4 else SEARCH_DEPTH.plain
            search(weights, worth, most, capacity, nodes, taken, answer)
            nodes -= int(answer[2])
            self.effort.spend(int(answer[2]) * self.NODE_CELLS / Effort.CELLS + 0.02)
            exact = exact and answer[0] == answer[1]
            values.append(int(answer[1]))
            patterns.append(tuple(sorted((useful[k], int(taken[k])) for k in range(len(useful)) if taken[k])))
        return Filling(values, patterns, exact)

    def _light(self, cells: int) -> bool:
        """Whether numpy alone is fast enough, so that nothing has to be compiled."""
        self._done += cells
        return self._done < Kernel.COMPILE_ABOVE_STEPS * 10 and not FILL_SIZES.ready
