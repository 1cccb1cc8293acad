"""The order at the saw: patterns for the stop block, and how many orders an order of sticks keeps open."""

from __future__ import annotations

from collections import Counter
from collections.abc import Hashable, Sequence
from typing import TypeVar

from solver.sticks.model import CuttingStock, StickPattern

Order = TypeVar("Order", bound=Hashable)


def saw_order(problem: CuttingStock, patterns: Sequence[StickPattern]) -> tuple[StickPattern, ...]:
    """Return the patterns in cutting order: longest stock first, then longest rails first.

    Rails within a pattern stand longest first and equal lengths together, and
    patterns that begin with the same lengths follow each other, so the stop
    block is moved as little as possible.

    Examples
    --------
    >>> from solver.sticks.model import StockLength
    >>> problem = CuttingStock(lengths=(50, 30), counts=(1, 5), kerf=0, stock=(StockLength(length=96, cost=1),))
    >>> short = StickPattern(stock=0, rails=((1, 3),), copies=1)
    >>> long = StickPattern(stock=0, rails=((0, 1), (1, 1)), copies=1)
    >>> saw_order(problem, [short, long]) == (long, short)
    True
    """
    return tuple(
        sorted(
            patterns,
            key=lambda p: (-problem.stock[p.stock].length, p.stock, [(i, -times) for i, times in p.rails], -p.copies),
        )
    )


def most_open(sticks: Sequence[frozenset[Order]]) -> int:
    """Return the most orders that are open at a time when sticks are cut as they stand.

    Examples
    --------
    >>> most_open([frozenset("A"), frozenset("B"), frozenset("A")])
    2
    """
    to_go = Counter(order for stick in sticks for order in stick)
    open_now: set[Order] = set()
    most = 0
    for stick in sticks:
        open_now |= stick
        most = max(most, len(open_now))
        for order in stick:
            to_go[order] -= 1
            if not to_go[order]:
                open_now.discard(order)
    return most
