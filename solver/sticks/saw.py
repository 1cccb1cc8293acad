"""The order at the saw: patterns for the stop block, sticks for orders that should be finished early."""

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


def orders_together(sticks: Sequence[frozenset[Order]]) -> list[int]:
    """Return the sticks in an order that keeps few orders open at a time.

    An order is open from its first stick to its last. The next stick is always
    the one that opens fewest orders; among those the one that finishes most,
    then the one whose orders have fewest sticks to go.

    Parameters
    ----------
    sticks
        For each stick the orders (or phases) its rails belong to.

    Examples
    --------
    >>> a, b = frozenset("A"), frozenset("B")
    >>> orders_together([a, b, a, b])
    [0, 2, 1, 3]
    """
    to_go = Counter(order for stick in sticks for order in stick)
    waiting = list(range(len(sticks)))
    open_now: set[Order] = set()
    sequence = []
    while waiting:

        def rank(n: int) -> tuple[int, int, int, int]:
            stick = sticks[n]
            opened = len(stick - open_now)
            finished = sum(to_go[order] == 1 for order in stick)
            return opened, -finished, sum(to_go[order] for order in stick), n

        best = min(waiting, key=rank)
        waiting.remove(best)
        sequence.append(best)
        for order in sticks[best]:
            to_go[order] -= 1
            open_now.add(order)
            if not to_go[order]:
                open_now.discard(order)
    return sequence


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
