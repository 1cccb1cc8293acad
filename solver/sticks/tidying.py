"""Local search among equally cheap packings: long offcuts, few patterns.

The number of sticks of each size never changes, so the cost does not. Two moves
are tried: a few patterns are taken apart and their rails filled into the same
sticks anew, as full as they go; or the rails of a pattern are gathered from
other patterns so that it is cut once more, and what is left fills the remaining
sticks.

References
----------
Haessler, "Controlling cutting pattern changes in one-dimensional trim problems",
Operations Research 23 (1975): fewer patterns by repeating one as often as its
rails allow.
"""

from __future__ import annotations

import random
from collections.abc import Mapping, Sequence

from solver.sticks.effort import Effort
from solver.sticks.grid import Column, Grid, Packing, Pattern
from solver.sticks.offcuts import OffcutWorth, offcut_of

_UNITS = 1 / 200
"""Work units a step of the search takes."""

_MOST_CELLS = 65_536
"""Fill levels a stick is divided into; on finer grids rails are rounded up for filling."""

Gain = tuple[int, int, int, int]
"""What a change is better by, the first figure counting most."""


def tidied(grid: Grid, packing: Packing, worth: OffcutWorth, effort: Effort, *, patterns: bool, seed: int) -> Packing:
    """Return a packing of the same sticks with offcuts worth more, cut to fewer patterns.

    Parameters
    ----------
    grid, packing
        The problem and a packing that cuts every rail exactly once.
    worth
        What offcuts are worth.
    effort
        Where work is counted; its limit ends the search.
    patterns
        Whether fewer patterns count.
    seed
        For the choice of moves.
    """
    if len(packing) < 2:
        return packing
    search = _Tidying(grid, packing, worth, effort, patterns=patterns, seed=seed)
    if worth.keeps:
        search.run(offcuts_first=True, share=1 / 3)
    search.run(offcuts_first=False, share=1)
    return search.packing


class _Tidying:
    def __init__(
        self, grid: Grid, packing: Packing, worth: OffcutWorth, effort: Effort, *, patterns: bool, seed: int
    ) -> None:
        self.packing: Packing = {}
        self._grid, self._worth, self._effort, self._patterns = grid, worth, effort, patterns
        self._chance = random.Random(seed * 37 + 11)
        self._step = max(1, max(size.capacity for size in grid.sizes) // _MOST_CELLS)
        self._cells = [-(-weight // self._step) for weight in grid.weights]
        self._known: dict[Column, tuple[int, int]] = {}
        self._columns: list[Column] = []
        self._at: dict[Column, int] = {}
        self._with_rail: dict[int, dict[Column, None]] = {}
        self._apply(packing)

    def run(self, *, offcuts_first: bool, share: float) -> None:
        """Try moves and keep those that are no worse, until a share of the work is used or nothing gets better."""
        end = self._effort.used + self._effort.work_left * share
        failures, patience = 0, 600 + 60 * len(self.packing)
        nothing = (0, 0, 0, 0)
        while failures < patience and self._effort.used < end and not self._effort.over():
            self._effort.spend(_UNITS)
            failures += 1
            gathers = self._patterns and not offcuts_first and self._chance.random() < 0.7
            change = self._gathered() if gathers else self._refilled()
            if not change:
                continue
            gain = self._gain(change, offcuts_first=offcuts_first)
            if gain is not None and gain >= nothing:
                self._apply(change)
                if gain > nothing:
                    failures = 0

    def _refilled(self) -> Packing | None:
        """Return the change that fills the sticks of two or three patterns anew."""
        chance, columns = self._chance, self._columns
        first = columns[chance.randrange(len(columns))]
        near: Sequence[Column] = columns
        if chance.random() < 0.5:
            copies = self.packing[first]
            near = [c for i, _ in first[1] for c in self._with_rail[i] if self.packing[c] == copies] or columns
        chosen = {first: None}
        for _ in range(1 + chance.randrange(2)):
            chosen[near[chance.randrange(len(near))]] = None
        if len(chosen) < 2:
            return None
        copies = 1 if chance.random() < 0.3 else min(self.packing[column] for column in chosen)
        return self._exchanged(list(chosen), [], copies)

    def _gathered(self) -> Packing | None:
        """Return the change that cuts one pattern more often, its rails gathered from others cut equally often."""
        chance = self._chance
        wanted = self._columns[chance.randrange(len(self._columns))]
        like = wanted if chance.random() < 0.3 else self._columns[chance.randrange(len(self._columns))]
        copies = self.packing[like]
        most = 2 + chance.randrange(3)
        need = dict(wanted[1])
        pool = [c for i in need for c in self._with_rail[i] if self.packing[c] == copies and c != wanted]
        self._effort.spend(_UNITS * len(pool) / 10)
        sources: list[Column] = []
        while need:
            best, reached = None, 0.0
            for column in pool:
                covered = sum(min(times, need.get(i, 0)) for i, times in column[1])
                if covered and column not in sources and (rank := covered + 1.5 * chance.random()) > reached:
                    best, reached = column, rank
            if best is None or len(sources) == most:
                return None
            sources.append(best)
            for i, times in best[1]:
                if i in need:
                    need[i] -= times
                    if need[i] <= 0:
                        del need[i]
        return self._exchanged(sources, [wanted], copies)

    def _exchanged(self, sources: Sequence[Column], wanted: Sequence[Column], copies: int) -> Packing | None:
        """Return the change from ``sources`` to ``wanted`` and what their other rails fill; None if they do not fit."""
        rails: dict[int, int] = {}
        sizes = [size for size, _ in sources]
        for _, pattern in sources:
            for i, times in pattern:
                rails[i] = rails.get(i, 0) + times
        for size, pattern in wanted:
            if size not in sizes:
                return None
            sizes.remove(size)
            for i, times in pattern:
                rails[i] -= times
                if not rails[i]:
                    del rails[i]
        filled = self._filled(rails, sizes)
        if filled is None:
            return None
        change: Packing = {}
        for column in sources:
            change[column] = change.get(column, 0) - copies
        for column in [*wanted, *filled]:
            change[column] = change.get(column, 0) + copies
        return {column: times for column, times in change.items() if times}

    def _filled(self, rails: dict[int, int], sizes: list[int]) -> list[Column] | None:
        """Return the rails in these sticks, all but the last filled as far as they go; None if they do not fit so."""
        if not sizes or not rails:
            return [] if not sizes and not rails else None
        self._chance.shuffle(sizes)
        weights, capacity = self._grid.weights, [size.capacity for size in self._grid.sizes]
        columns: list[Column] = []
        for size in sizes[1:]:
            pattern = self._fullest(rails, capacity[size])
            if not pattern:
                return None
            columns.append((size, pattern))
            for i, times in pattern:
                rails[i] -= times
                if not rails[i]:
                    del rails[i]
        if not rails or sum(weights[i] * times for i, times in rails.items()) > capacity[sizes[0]]:
            return None
        return [*columns, (sizes[0], tuple(sorted(rails.items())))]

    def _fullest(self, rails: Mapping[int, int], capacity: int) -> Pattern:
        """Return rails that fill a stick as far as they can; ties fall to chance."""
        order = list(rails.items())
        self._chance.shuffle(order)
        room = capacity // self._step
        mask = (1 << (room + 1)) - 1
        reached = [1]
        for i, times in order:
            totals, weight = reached[-1], self._cells[i]
            for _ in range(min(times, room // weight)):
                totals |= (totals << weight) & mask
            reached.append(totals)
        self._effort.spend(_UNITS * len(order) * (1 + room / 20_000))
        left = reached[-1].bit_length() - 1
        pattern = []
        for k in range(len(order) - 1, -1, -1):
            i, _ = order[k]
            times = 0
            while not (reached[k] >> left) & 1:
                left -= self._cells[i]
                times += 1
            if times:
                pattern.append((i, times))
        return tuple(sorted(pattern))

    def _gain(self, change: Packing, *, offcuts_first: bool) -> Gain | None:
        """Return what a change is better by, or None if there are not so many sticks to change."""
        rough = fine = fewer = evener = 0
        for column, more in change.items():
            before = self.packing.get(column, 0)
            after = before + more
            if after < 0:
                return None
            by_rough, by_fine = self._value(column)
            rough += by_rough * more
            fine += by_fine * more
            if self._patterns:
                fewer += (before > 0) - (after > 0)
                evener += after * after - before * before
        return (fine, rough, fewer, evener) if offcuts_first else (rough, fewer, evener, fine)

    def _value(self, column: Column) -> tuple[int, int]:
        value = self._known.get(column)
        if value is None:
            offcut = offcut_of(self._grid, column)
            value = self._known[column] = self._worth.rough(offcut), self._worth.fine(offcut)
        return value

    def _apply(self, change: Packing) -> None:
        for column, more in change.items():
            before = self.packing.get(column, 0)
            after = before + more
            if not before:
                self._at[column] = len(self._columns)
                self._columns.append(column)
                for i, _ in column[1]:
                    self._with_rail.setdefault(i, {})[column] = None
            if after:
                self.packing[column] = after
                continue
            del self.packing[column]
            place, last = self._at.pop(column), self._columns.pop()
            if last != column:
                self._columns[place] = last
                self._at[last] = place
            for i, _ in column[1]:
                del self._with_rail[i][column]
