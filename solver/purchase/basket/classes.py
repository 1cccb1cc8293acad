"""Many sizes as few: pieces rounded down to classes, a smaller problem whose bounds hold for the true one.

Whatever holds every piece holds every smaller piece as well, so no purchase is
ruled out wrongly; the finer the classes, the less a bound loses.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

import numpy as np

from solver.rolls.model import Blank
from solver.sticks.model import CuttingStock


def rounded_down(sizes: Sequence[int], counts: Sequence[int], most: int) -> list[int]:
    """Return for each size the smallest size of its class; ``most`` classes hold about equally many pieces.

    Examples
    --------
    >>> rounded_down((40, 10, 30, 20), (1, 1, 1, 1), 2)
    [30, 10, 30, 10]
    """
    if len(set(sizes)) <= most:
        return list(sizes)
    order = sorted(range(len(sizes)), key=lambda n: (sizes[n], n))
    total, before = sum(counts), 0
    edges = set()
    taken = -1
    for number in order:
        place = before * most // total
        if place > taken:
            edges.add(sizes[number])
            taken = place
        before += counts[number]
    rising = np.array(sorted(edges))
    return [int(rising[np.searchsorted(rising, size, side="right") - 1]) for size in sizes]


def fewer_blanks(blanks: Sequence[Blank], most: int) -> tuple[Blank, ...]:
    """Return blanks rounded down both ways, so that there are about ``most`` sorts or fewer."""
    if len(blanks) <= most:
        return tuple(blanks)
    counts = [blank.count for blank in blanks]
    each = int(most**0.5)
    across = rounded_down([blank.across for blank in blanks], counts, each)
    along = rounded_down([blank.along for blank in blanks], counts, each)
    sorts: Counter[tuple[int, int, bool]] = Counter()
    for blank, width, length in zip(blanks, across, along, strict=True):
        sorts[width, length, blank.turns] += blank.count
    return tuple(
        Blank(across=width, along=length, count=count, turns=turns)
        for (width, length, turns), count in sorted(sorts.items())
    )


def fewer_rails(problem: CuttingStock, most: int) -> CuttingStock:
    """Return rails rounded down, so that there are ``most`` lengths or fewer."""
    if len(problem.lengths) <= most:
        return problem
    lengths: Counter[int] = Counter()
    rounded = rounded_down(problem.lengths, problem.counts, most)
    for length, count in zip(rounded, problem.counts, strict=True):
        lengths[length] += count
    order = sorted(lengths, reverse=True)
    return CuttingStock(
        lengths=tuple(order),
        counts=tuple(lengths[length] for length in order),
        kerf=problem.kerf,
        stock=problem.stock,
    )
