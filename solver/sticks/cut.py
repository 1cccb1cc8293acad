"""The way into the stick planner: rails and stock in, a cutting plan out."""

from __future__ import annotations

from dataclasses import replace

from solver.errors import ProblemError, ProblemFault
from solver.limits import Ending, Limits
from solver.sticks.bundles import buying_cost
from solver.sticks.by_hand import plan_by_hand
from solver.sticks.effort import Effort
from solver.sticks.grid import MISSING, Grid, Packing, exact_grid
from solver.sticks.model import CuttingPlan, CuttingStock, StickPattern, StockLength
from solver.sticks.saw import saw_order
from solver.sticks.search import Search
from solver.sticks.ties import Ties, settled

DEFAULT_TIES = Ties()


def cut(problem: CuttingStock, limits: Limits, ties: Ties | None = DEFAULT_TIES) -> CuttingPlan:
    """Return the cheapest cutting plan found, with the exact lower bound on any cost.

    Parameters
    ----------
    problem
        Rails, kerf and stock; lengths in any one whole unit, costs in any one
        whole unit.
    limits
        Work, seconds, seed, and how to stop.
    ties
        What to prefer among equally cheap plans; None takes the first found.

    Returns
    -------
    CuttingPlan
        Every rail exactly once; no size beyond its limit.

    Raises
    ------
    ProblemError
        If a rail is longer than every stick, or if the limited sticks do not
        hold all rails.

    Examples
    --------
    Two rails of 40 and one of 20 with a kerf of 1 fit one stick of 102:

    >>> from solver.sticks.model import StockLength
    >>> plan = cut(
    ...     CuttingStock(lengths=(40, 20), counts=(2, 1), kerf=1, stock=(StockLength(length=102, cost=7),)),
    ...     Limits(),
    ... )
    >>> plan.cost, plan.bound, plan.patterns[0].rails
    (7, 7, ((0, 2), (1, 1)))
    """
    effort = Effort(limits)
    _refuse_long_rails(problem)
    grid = exact_grid(problem)
    if not grid.free_for_all:
        grid = _with_missing_sticks(problem, effort, limits)
    search = Search(grid, effort, limits.seed, start=_by_hand(grid))
    ending = search.run()
    packing = search.packing
    if ties is not None and effort.over() is not Ending.STOPPED:
        packing = settled(grid, packing, ties, effort.extension(ties.share), limits.seed)
    return CuttingPlan(
        patterns=saw_order(problem, _patterns(grid, packing)),
        cost=search.cost,
        bound=search.bound,
        ending=ending,
        work=int(effort.used),
    )


def _by_hand(grid: Grid) -> Packing | None:
    """Return the plan of a careful shop, so that none dearer is ever given back."""
    plan = plan_by_hand(grid.problem)
    if plan is None:
        return None
    size_of = {number: s for s, size in enumerate(grid.sizes) for number in size.members}
    packing: Packing = {}
    for pattern in plan[1]:
        column = size_of[pattern.stock], pattern.rails
        packing[column] = packing.get(column, 0) + pattern.copies
    return packing


def _refuse_long_rails(problem: CuttingStock) -> None:
    longest = max((stock.length for stock in problem.stock if stock.limit != 0), default=0)
    faults = tuple(
        ProblemFault(
            source="",
            message=f"{count} rails of length {length} are longer than every stick; the longest stick holds {longest}",
        )
        for length, count in zip(problem.lengths, problem.counts, strict=True)
        if length > longest
    )
    if faults:
        raise ProblemError(faults)


def _with_missing_sticks(problem: CuttingStock, effort: Effort, limits: Limits) -> Grid:
    """Return a grid on which a plan surely exists; raise if it needs sticks that do not exist.

    Every stick that exists is free in a first search, so its cost is the number
    of sticks that are missing.
    """
    rails = sum(problem.counts)
    stock = tuple(
        StockLength(length=stock.length, cost=0, limit=rails if stock.limit is None else stock.limit)
        for stock in problem.stock
    )
    free = exact_grid(replace(problem, stock=stock), missing_cost=1)
    search = Search(free, effort, limits.seed, start=_by_hand(free))
    ending = search.run()
    if search.cost:
        raise ProblemError((_shortage(problem, free, search.packing, ending),))
    taken = [0] * len(stock)
    for pattern in _patterns(free, search.packing):
        taken[pattern.stock] += pattern.copies
    possible = sum(buying_cost(stock, count) for stock, count in zip(problem.stock, taken, strict=True))
    return exact_grid(problem, missing_cost=possible + 1)


def _shortage(problem: CuttingStock, grid: Grid, packing: Packing, ending: Ending) -> ProblemFault:
    lacking: dict[int, int] = {}
    for (s, pattern), copies in packing.items():
        if grid.sizes[s].members == (MISSING,):
            for i, times in pattern:
                lacking[problem.lengths[i]] = lacking.get(problem.lengths[i], 0) + times * copies
    rails = ", ".join(f"{count} of length {length}" for length, count in sorted(lacking.items(), reverse=True))
    total = sum(length * count for length, count in lacking.items())
    sure = "the sticks do not hold all rails" if ending is Ending.PROVEN else "no way was found to fit all rails"
    return ProblemFault(
        source="",
        message=f"{sure}: {sum(lacking.values())} rails, {total} of length in all, find no stick ({rails});"
        " raise the limits or add a longer stick",
    )


def _patterns(grid: Grid, packing: Packing) -> tuple[StickPattern, ...]:
    """Return the packing on real stock: of sticks that cut alike the shortest are taken first."""
    stock = grid.problem.stock
    left = {member: stock[member].limit for size in grid.sizes for member in size.members if member != MISSING}
    patterns = []
    for (s, pattern), copies in sorted(packing.items()):
        for member in grid.sizes[s].members:
            there = left[member]
            taken = copies if there is None else min(copies, there)
            if taken:
                patterns.append(StickPattern(stock=member, rails=pattern, copies=taken))
                copies -= taken
                if there is not None:
                    left[member] = there - taken
    return tuple(patterns)
