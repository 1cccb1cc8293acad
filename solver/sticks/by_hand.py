"""What a careful shop does without a computer: first fit, longest first, one stick length."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from solver.sticks.bundles import buying_cost
from solver.sticks.model import CuttingStock, StickPattern


def by_hand(problem: CuttingStock) -> int | None:
    """Return the cost of first-fit decreasing in the best single stock length, or None if no single one will do.

    Free sticks on hand are used first, longest first; what they do not hold is
    cut from one length on sale, whichever comes cheapest.

    Examples
    --------
    >>> from solver.sticks.model import StockLength
    >>> rails = {"lengths": (40, 20), "counts": (3, 2), "kerf": 0}
    >>> by_hand(CuttingStock(stock=(StockLength(length=60, cost=5), StockLength(length=100, cost=7)), **rails))
    14
    """
    plan = plan_by_hand(problem)
    return None if plan is None else plan[0]


def plan_by_hand(problem: CuttingStock) -> tuple[int, tuple[StickPattern, ...]] | None:
    """Return the cost and the sticks of what :func:`by_hand` does, or None if no single length will do.

    Examples
    --------
    >>> from solver.sticks.model import StockLength
    >>> rails = {"lengths": (40, 20), "counts": (3, 2), "kerf": 0}
    >>> plan = plan_by_hand(CuttingStock(stock=(StockLength(length=100, cost=7),), **rails))
    >>> [(pattern.rails, pattern.copies) for pattern in plan[1]]
    [(((0, 2), (1, 1)), 1), (((0, 1), (1, 1)), 1)]
    """
    on_hand = sorted(
        (number for number, stock in enumerate(problem.stock) if stock.cost == 0 and stock.limit),
        key=lambda number: -problem.stock[number].length,
    )
    on_sale = [n for n, stock in enumerate(problem.stock) if n not in set(on_hand) and stock.limit != 0]
    best: tuple[int, tuple[StickPattern, ...]] | None = None
    for bought in (None, *on_sale):
        sticks = first_fit(problem, on_hand, bought)
        if sticks is None:
            continue
        used = sum(pattern.copies for pattern in sticks if pattern.stock == bought)
        cost = 0 if bought is None else buying_cost(problem.stock[bought], used)
        if best is None or cost < best[0]:
            best = cost, sticks
    return best


def first_fit(problem: CuttingStock, free: Sequence[int], bought: int | None) -> tuple[StickPattern, ...] | None:
    """Return the sticks that hold all rails, or None if some rail finds no stick.

    First fit with rails longest first puts each rail into the first stick it
    fits. Sticks in the same state are kept together, in order, so the time
    grows with the distinct lengths and not with the rails.

    Parameters
    ----------
    problem
        Rails, kerf and stock.
    free
        Stock numbers used first, in this order.
    bought
        Stock number of which sticks are added, or None.
    """
    open_sticks = [Alike(n, problem.stock[n].length + problem.kerf, problem.stock[n].limit or 0, ()) for n in free]
    limit = None if bought is None else problem.stock[bought].limit
    for rail, (length, count) in enumerate(zip(problem.lengths, problem.counts, strict=True)):
        weight = length + problem.kerf
        open_sticks, left = _into_open_sticks(open_sticks, rail, weight, count)
        if not left:
            continue
        if bought is None:
            return None
        room = problem.stock[bought].length + problem.kerf
        each = room // weight
        if not each:
            return None
        sticks = -(-left // each)
        if limit is not None:
            if sticks > limit:
                return None
            limit -= sticks
        fresh, _ = _into_open_sticks([Alike(bought, room, sticks, ())], rail, weight, left)
        open_sticks += fresh
    return tuple(StickPattern(stock=a.stock, rails=a.rails, copies=a.sticks) for a in open_sticks if a.rails)


@dataclass(frozen=True, slots=True)
class Alike:
    """Started ``sticks`` of one stock number that hold the same ``rails`` and have the same ``room`` left."""

    stock: int
    room: int
    sticks: int
    rails: tuple[tuple[int, int], ...]

    def with_rails(self, rail: int, weight: int, times: int, sticks: int) -> Alike:
        """Return so many of these sticks with ``times`` copies of a rail more."""
        return Alike(self.stock, self.room - weight * times, sticks, (*self.rails, (rail, times)))


def _into_open_sticks(open_sticks: list[Alike], rail: int, weight: int, count: int) -> tuple[list[Alike], int]:
    """Put rails of one length into the started sticks in order; return the sticks and the rails left."""
    after: list[Alike] = []
    for alike in open_sticks:
        each = alike.room // weight
        if not count or not each:
            after.append(alike)
            continue
        full, rest = divmod(count, each)
        if full >= alike.sticks:
            full, rest = alike.sticks, 0
        if full:
            after.append(alike.with_rails(rail, weight, each, full))
        if rest:
            after.append(alike.with_rails(rail, weight, rest, 1))
        untouched = alike.sticks - full - (1 if rest else 0)
        if untouched:
            after.append(replace(alike, sticks=untouched))
        count -= full * each + rest
    return after, count
