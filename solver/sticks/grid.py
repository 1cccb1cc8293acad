"""A cutting-stock problem on its coarsest exact grid.

Every rail weighs its length plus one kerf and every stick holds its length plus
one kerf. Weights are divided by their greatest common divisor, and each capacity
is lowered to the largest total that rails can reach: both change nothing.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cache, reduce
from math import gcd, lcm

from solver.sticks.bundles import buying_cost
from solver.sticks.model import CuttingStock, StockLength

Pattern = tuple[tuple[int, int], ...]
"""Pairs (rail number, copies), rails ascending by number: longest first."""

Column = tuple[int, Pattern]
"""A pattern cut from one size."""

Packing = dict[Column, int]
"""How many sticks are cut to each column."""

MISSING = -1
"""The member of a size that does not exist and stands for rails without a stick."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Size:
    """Stock that cuts alike: ``capacity`` in grid units, ``cost`` in ``1/share`` of the problem's unit.

    ``cost`` is the cheapest a stick can come to, bundles included. ``members``
    are stock numbers, shortest first; together they hold ``limit`` sticks.
    """

    capacity: int
    cost: int
    limit: int | None
    members: tuple[int, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class Grid:
    """The problem the search works on.

    ``weights`` and ``demand`` run in step, shape (n_rails,), longest first.
    ``sizes`` are longest first. ``share`` cost units make one of the problem's,
    ``step`` divides every possible total in the problem's unit. ``bundled`` is
    False where every stick simply costs its size's cost.
    """

    problem: CuttingStock
    weights: tuple[int, ...]
    demand: tuple[int, ...]
    sizes: tuple[Size, ...]
    share: int
    step: int
    bundled: bool = True

    def cost(self, counts: Sequence[int]) -> int:
        """Return the cheapest price of ``counts`` sticks of each size, in the problem's unit."""
        total = 0
        for size, count in zip(self.sizes, counts, strict=True):
            if not self.bundled:
                total += count * size.cost
            elif size.members == (MISSING,):
                total += count * (size.cost // self.share)
            elif count:
                total += buying_cost(self.problem.stock[size.members[0]], count)
        return total

    def packing_cost(self, packing: Packing) -> int:
        """Return the cheapest price of a packing's sticks."""
        counts = [0] * len(self.sizes)
        for (size, _), copies in packing.items():
            counts[size] += copies
        return self.cost(counts)

    def round_up(self, bound: Fraction) -> int:
        """Return the least possible total at or above ``bound`` cost units."""
        steps = bound / (self.share * self.step)
        return -(-steps.numerator // steps.denominator) * self.step

    def part(self, demand: Sequence[int], limits: Sequence[int | None]) -> tuple[Grid, list[int], list[int]]:
        """Return the grid of some of the rails and sticks, with the numbers they have here.

        Its costs are in this grid's cost units, each stick at its size's cost.
        """
        rails = [i for i, count in enumerate(demand) if count]
        sizes = [
            s for s, limit in enumerate(limits) if limit != 0 and self.sizes[s].capacity >= self.weights[rails[-1]]
        ]
        total = sum(demand)
        grid = Grid(
            problem=self.problem,
            weights=tuple(self.weights[i] for i in rails),
            demand=tuple(demand[i] for i in rails),
            sizes=tuple(
                replace(self.sizes[s], limit=None if (limit := limits[s]) is None else min(limit, total)) for s in sizes
            ),
            share=1,
            step=reduce(gcd, (self.sizes[s].cost for s in sizes)) or 1,
            bundled=False,
        )
        return grid, rails, sizes

    @property
    def free_for_all(self) -> bool:
        """Whether every rail fits an unlimited size, so that a plan surely exists."""
        rails = sum(self.demand)
        return any(
            (size.limit is None or size.limit >= rails) and size.capacity >= self.weights[0] for size in self.sizes
        )


def exact_grid(problem: CuttingStock, missing_cost: int | None = None) -> Grid:
    """Return the problem's grid, with an endless supply of missing sticks if these have a cost.

    Parameters
    ----------
    problem
        Rails, kerf and stock.
    missing_cost
        Cost of a stick that does not exist but holds the longest rail, in the
        problem's unit. None if there are none.
    """
    unit = reduce(gcd, (length + problem.kerf for length in problem.lengths))
    weights = tuple((length + problem.kerf) // unit for length in problem.lengths)
    rails = sum(problem.counts)
    largest = max((stock.length + problem.kerf) // unit for stock in problem.stock)
    totals = reachable_totals(weights, problem.counts, max(largest, weights[0]))
    share = reduce(lcm, (stock.bundle[0] for stock in problem.stock if stock.bundle), 1)
    alike: dict[tuple[int, int, bool, int], list[int]] = {}
    for number, stock in enumerate(problem.stock):
        capacity = _highest(totals, (stock.length + problem.kerf) // unit)
        if capacity and stock.limit != 0:
            cost = stock.cost * share
            if stock.bundle and (stock.limit is None or stock.limit >= stock.bundle[0]):
                cost = min(cost, stock.bundle[1] * share // stock.bundle[0])
            apart = number if stock.bundle else -1
            # Nobody needs more free sticks than there are rails.
            alike.setdefault((capacity, cost, stock.limit is None and cost > 0, apart), []).append(number)
    sizes = []
    for (capacity, cost, endless, _), members in alike.items():
        members.sort(key=lambda number: (problem.stock[number].length, number))
        limit = None if endless else min(rails, sum(_at_most(problem.stock[number], rails) for number in members))
        sizes.append(Size(capacity=capacity, cost=cost, limit=limit, members=tuple(members)))
    prices = [stock.cost for stock in problem.stock] + [stock.bundle[1] for stock in problem.stock if stock.bundle]
    if missing_cost is not None:
        sizes.append(Size(capacity=weights[0], cost=missing_cost * share, limit=None, members=(MISSING,)))
        prices.append(missing_cost)
    sizes.sort(key=lambda size: (-size.capacity, size.cost, size.members))
    return Grid(
        problem=problem,
        weights=weights,
        demand=problem.counts,
        sizes=tuple(sizes),
        share=share,
        step=reduce(gcd, prices) or 1,
    )


def reachable_totals(weights: tuple[int, ...], copies: tuple[int, ...], largest: int) -> int:
    """Return a bit set of the totals up to ``largest`` that rails can add up to; bit n stands for n.

    Examples
    --------
    >>> bin(reachable_totals((5, 3), (1, 2), 9))
    '0b101101001'
    """
    mask = (1 << (largest + 1)) - 1
    totals = 1
    for weight, count in zip(weights, copies, strict=True):
        for times in doubling(min(count, largest // weight)):
            totals |= (totals << (weight * times)) & mask
    return totals


@cache
def doubling(count: int) -> tuple[int, ...]:
    """Return numbers whose partial sums give every count up to ``count``.

    Examples
    --------
    >>> doubling(10)
    (1, 2, 4, 3)
    """
    times, step = [], 1
    while count > 0:
        taken = min(step, count)
        times.append(taken)
        count -= taken
        step *= 2
    return tuple(times)


def _at_most(stock: StockLength, rails: int) -> int:
    return rails if stock.limit is None else stock.limit


def _highest(totals: int, capacity: int) -> int:
    return (totals & ((1 << (capacity + 1)) - 1)).bit_length() - 1
