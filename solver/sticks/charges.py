"""Filling sticks where rows on few rails charge, or pay, for what a stick holds together.

Rails that stand in a row are decided first, copy by copy; all others then fill
what is left, which a table answers at once. A branch is left as soon as even its
uncharged value cannot pass what is sought.

References
----------
Jepsen, Petersen, Spoorendonk, Pisinger, Operations Research 56 (2008): pricing
with subset-row cuts. Wei, Luo, Baldacci, Lim, INFORMS Journal on Computing 32
(2020): the same for cutting stock.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from solver.kernel import Kernel
from solver.sticks.effort import Effort
from solver.sticks.filling import FILL_SIZES, Whole
from solver.sticks.grid import Grid, Pattern


@dataclass(frozen=True, slots=True)
class Share:
    """A row on what sticks hold of some rails, added up over all sticks.

    Of three rails a stick's share is half of what it holds of them, rounded down;
    of two rails it is one where it holds both. ``bound`` is the most of all shares
    together, or the least if ``at_least`` is set.
    """

    rails: tuple[int, ...]
    bound: int
    at_least: bool = False

    def of(self, pattern: Pattern) -> int:
        """Return a stick's share.

        Examples
        --------
        >>> Share((0, 1, 2), 1).of(((0, 1), (2, 2))), Share((0, 2), 1).of(((0, 1), (2, 2)))
        (1, 1)
        """
        if len(self.rails) == 2:
            return int(sum(i in self.rails for i, _ in pattern) == 2)
        return sum(times for i, times in pattern if i in self.rails) // 2


def _suffix_table(weights: Whole, gains: Whole, copies: Whole, table: Any) -> None:
    """Fill ``table[k, c]`` from the last row up: the best value of rails k, k + 1, ... and the last row within c."""
    cells = table.shape[1]
    for k in range(weights.shape[0] - 1, -1, -1):
        weight = weights[k]
        for c in range(cells):
            table[k, c] = table[k + 1, c]
        for times in range(1, copies[k] + 1):
            gain = gains[k] * times
            for c in range(weight * times, cells):
                value = table[k + 1, c - weight * times] + gain
                if value > table[k, c]:
                    table[k, c] = value


def _search_charged(
    weights: Whole,
    gains: Whole,
    copies: Whole,
    starts: Whole,
    rows: Whole,
    pairs: Whole,
    charges: Whole,
    table: Any,
    capacity: int,
    above: int,
    nodes: int,
    taken: Whole,
    answer: Whole,
) -> None:
    """Find the charged filling of most value ``above``; ``answer`` gets value, nodes used, 1 if cut short.

    ``rows[starts[k]:starts[k + 1]]`` are the rows of rail k.
    """
    n = weights.shape[0]
    now = np.zeros(n, np.int64)
    held = np.zeros(charges.shape[0], np.int64)
    left = capacity
    value = 0
    best = above
    found = 0
    used = 0
    short = 0
    k = 0
    down = True
    while True:
        if down:
            used += 1
            if used > nodes:
                short = 1
                break
            if value + table[k, left] <= best:
                down = False
            elif k == n:
                best = value + table[n, left]
                found = 1
                for j in range(n):
                    taken[j] = now[j]
                answer[3] = left
                down = False
            else:
                # As many as fit.
                while now[k] < copies[k] and weights[k] <= left:
                    for r in range(starts[k], starts[k + 1]):
                        row = rows[r]
                        if pairs[row] == 0 or now[k] == 0:
                            held[row] += 1
                            if held[row] % 2 == 0:
                                value -= charges[row]
                    now[k] += 1
                    left -= weights[k]
                    value += gains[k]
                k += 1
            continue
        # Back to the last rail taken, one less of it.
        k -= 1
        while k >= 0 and now[k] == 0:
            k -= 1
        if k < 0:
            break
        now[k] -= 1
        left += weights[k]
        value -= gains[k]
        for r in range(starts[k], starts[k + 1]):
            row = rows[r]
            if pairs[row] == 0 or now[k] == 0:
                if held[row] % 2 == 0:
                    value += charges[row]
                held[row] -= 1
        k += 1
        down = True
    answer[0] = best
    answer[1] = used
    answer[2] = short
    answer[4] = found


SUFFIX_TABLE = Kernel(_suffix_table)
SEARCH_CHARGED = Kernel(_search_charged)


@dataclass(frozen=True, slots=True)
class Charged:
    """For each size the pattern sought, if any was found, and its value.

    ``sure`` says of each size whether no pattern is worth more than ``values``
    (where none was found: than what was sought).
    """

    values: list[int]
    patterns: list[Pattern | None]
    sure: list[bool]


class ChargedFiller:
    """Fills the sizes of one grid under rows.

    Parameters
    ----------
    grid
        Weights and sizes.
    effort
        Where work is counted.
    """

    MOST_CELLS = 12_000_000
    MOST_BYTES = 100_000_000

    def __init__(self, grid: Grid, effort: Effort) -> None:
        self.grid = grid
        self.effort = effort
        self._cells = max(size.capacity for size in grid.sizes) + 1
        self._weights = np.array(grid.weights, np.int64)

    def affords(self, shares: Sequence[Share]) -> bool:
        """Whether the tables for these rows stay small."""
        rows = int(np.frexp(np.minimum(self.grid.demand, (self._cells - 1) // self._weights))[1].sum())
        if rows * self._cells > self.MOST_BYTES:
            return False
        return (len({i for share in shares for i in share.rails}) + 1) * self._cells <= self.MOST_CELLS

    def fill(
        self,
        gains: Whole,
        copies: Whole,
        shares: Sequence[Share],
        charges: Sequence[int],
        above: Sequence[int | None],
        nodes: int,
    ) -> Charged:
        """Return for each size the pattern worth most, if that is more than ``above``.

        Parameters
        ----------
        gains, copies
            Worth and number of each rail, whole numbers, shape (n_rails,).
        shares, charges
            The rows, and what each charges for a share; under 0 it pays.
        above
            For each size what a pattern must be worth more than; None leaves the size out.
        nodes
            The most branches to look at, for all sizes together.
        """
        used = [k for k, charge in enumerate(charges) if charge]
        special = sorted({i for k in used for i in shares[k].rails if copies[i] > 0})
        row_of = {k: r for r, k in enumerate(used)}
        starts, rows = [0], []
        inflated = []
        for i in special:
            mine = [k for k in used if i in shares[k].rails]
            rows += [row_of[k] for k in mine]
            starts.append(len(rows))
            # What a row pays is promised to the last of its rails.
            paid = -sum(charges[k] for k in mine if charges[k] < 0 and i == max(shares[k].rails))
            inflated.append(int(gains[i]) + paid)
        weights = np.array([self.grid.weights[i] for i in special], np.int64)
        most = np.array([min(int(copies[i]), (self._cells - 1) // self.grid.weights[i]) for i in special], np.int64)
        table, taken_rows, taken = self._tables(gains, copies, special, weights, np.array(inflated, np.int64), most)
        form = SEARCH_CHARGED.compiled
        arrays = (
            weights,
            np.array([int(gains[i]) for i in special], np.int64),
            most,
            np.array(starts, np.int64),
            np.array(rows, np.int64),
            np.array([len(shares[k].rails) == 2 for k in used], np.int64),
            np.array([charges[k] for k in used], np.int64),
        )
        values: list[int] = []
        patterns: list[Pattern | None] = []
        sure: list[bool] = []
        for size, floor in zip(self.grid.sizes, above, strict=True):
            if floor is None:
                values.append(0)
                patterns.append(None)
                sure.append(True)
                continue
            found = np.zeros(len(special), np.int64)
            answer = np.zeros(5, np.int64)
            form(*arrays, table, size.capacity, floor, nodes, found, answer)
            nodes = max(0, nodes - int(answer[1]))
            self.effort.spend(int(answer[1]) / 60_000 + 0.05)
            values.append(int(answer[0]))
            sure.append(not answer[2])
            if not answer[4]:
                patterns.append(None)
                continue
            held = {i: int(times) for i, times in zip(special, found, strict=True) if times}
            left = int(answer[3])
            for row in range(len(taken_rows) - 1, -1, -1):
                i, weight = taken_rows[row]
                if weight <= left and taken[row, left]:
                    held[i] = held.get(i, 0) + weight // self.grid.weights[i]
                    left -= weight
            patterns.append(tuple(sorted(held.items())))
        return Charged(values, patterns, sure)

    def _tables(
        self, gains: Whole, copies: Whole, special: list[int], weights: Whole, inflated: Whole, most: Whole
    ) -> tuple[Any, list[tuple[int, int]], Any]:
        """Return the table of what can still be gained, and how the rails without rows reach it."""
        cells = self._cells
        ordinary = np.where((gains > 0) & (copies > 0), np.minimum(copies, (cells - 1) // self._weights), 0)
        ordinary[special] = 0
        n_rows = int(np.frexp(ordinary)[1].sum())
        rails, heavy = np.zeros(n_rows, np.int64), np.zeros(n_rows, np.int64)
        table = np.zeros((len(special) + 1, cells), np.int64)
        taken = np.zeros((n_rows, cells), np.uint8)
        none, no_rails = np.zeros(0, np.int64), np.zeros((0, len(gains)), np.int32)
        last = table[len(special)]
        FILL_SIZES.compiled(self._weights, gains, ordinary, none, rails, heavy, last, taken, none, no_rails)
        SUFFIX_TABLE.compiled(weights, inflated, most, table)
        self.effort.spend((n_rows + int(most.sum())) * cells / Effort.CELLS + 0.05)
        return table, list(zip(rails.tolist(), heavy.tolist(), strict=True)), taken
