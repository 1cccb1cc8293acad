"""What a careful shop does without a computer: first fit, longest first, one stick length."""

from __future__ import annotations

from solver.sticks.bundles import buying_cost
from solver.sticks.model import CuttingStock, StockLength


def by_hand(problem: CuttingStock) -> int | None:
    """Return the cost of first-fit decreasing in the best single stock length, or None if no single one will do.

    Free sticks on hand are used first, longest first; what they do not hold is
    cut from one length on sale, whichever comes cheapest.

    Examples
    --------
    >>> rails = {"lengths": (40, 20), "counts": (3, 2), "kerf": 0}
    >>> by_hand(CuttingStock(stock=(StockLength(length=60, cost=5), StockLength(length=100, cost=7)), **rails))
    14
    """
    on_hand = sorted(
        (stock for stock in problem.stock if stock.cost == 0 and stock.limit),
        key=lambda stock: -stock.length,
    )
    free = [(stock.length, stock.limit or 0) for stock in on_hand]
    costs = []
    left, used = first_fit(problem, free, None)
    if not any(left):
        costs.append(0)
    for stock in problem.stock:
        if stock in on_hand or stock.limit == 0:
            continue
        left, used = first_fit(problem, free, stock)
        if not any(left):
            costs.append(buying_cost(stock, used))
    return min(costs, default=None)


def first_fit(problem: CuttingStock, free: list[tuple[int, int]], bought: StockLength | None) -> tuple[list[int], int]:
    """Return the rails that found no stick, and how many sticks were bought.

    First fit with rails longest first puts each rail into the first stick it
    fits. Sticks in the same state are kept together, in order, so the time
    grows with the distinct lengths and not with the rails.
    """
    # Each entry is [room left, sticks in this state], in the order the sticks were started.
    states = [[length + problem.kerf, count] for length, count in free]
    left = []
    used = 0
    limit = 0 if bought is None else bought.limit
    for length, count in zip(problem.lengths, problem.counts, strict=True):
        weight = length + problem.kerf
        states, count = _into_open_sticks(states, weight, count)
        if bought is not None and count:
            each = (bought.length + problem.kerf) // weight
            if each:
                sticks = -(-count // each)
                if limit is not None:
                    sticks = min(sticks, limit - used)
                full, rest = divmod(min(count, sticks * each), each)
                if full:
                    states.append([bought.length + problem.kerf - each * weight, full])
                if rest:
                    states.append([bought.length + problem.kerf - rest * weight, 1])
                used += full + (1 if rest else 0)
                count -= full * each + rest
        left.append(count)
    return left, used


def _into_open_sticks(states: list[list[int]], weight: int, count: int) -> tuple[list[list[int]], int]:
    """Put rails of one length into the started sticks in order; return the new states and the rails left."""
    after: list[list[int]] = []
    for room, sticks in states:
        each = room // weight
        if not count or not each:
            after.append([room, sticks])
            continue
        full, rest = divmod(count, each)
        if full >= sticks:
            full, rest = sticks, 0
        if full:
            after.append([room - each * weight, full])
        if rest:
            after.append([room - rest * weight, 1])
        untouched = sticks - full - (1 if rest else 0)
        if untouched:
            after.append([room, untouched])
        count -= full * each + rest
    return after, count
