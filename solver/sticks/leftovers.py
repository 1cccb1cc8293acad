"""What a leftover on hand is worth, as a setting."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from solver.limits import Ending, Limits
from solver.sticks.cut import DEFAULT_TIES, cut
from solver.sticks.model import CuttingPlan, CuttingStock
from solver.sticks.ties import Ties


def cut_valuing_leftovers(
    problem: CuttingStock, limits: Limits, ties: Ties | None = DEFAULT_TIES, *, per_mille: int
) -> CuttingPlan:
    """Return a cutting plan that takes a leftover only where it saves at least its value.

    Cost and bound are what is paid and the least that could be paid: the value
    of leftovers is in neither. A plan that keeps leftovers on the rack may
    therefore end above its bound, and is then not called proven.

    Parameters
    ----------
    problem, limits, ties
        As for :func:`solver.sticks.cut`.
    per_mille
        What leftovers are worth, as a share of what their length costs new; 0 takes them as free.

    Examples
    --------
    One rail of 40 from a leftover of 90 would save a new stick for 50; the leftover is worth 90.

    >>> from solver.sticks.model import StockLength
    >>> stock = (StockLength(length=50, cost=50), StockLength(length=90, cost=0, limit=1))
    >>> rail = CuttingStock(lengths=(40,), counts=(1,), kerf=0, stock=stock)
    >>> cut_valuing_leftovers(rail, Limits(), per_mille=0).cost
    0
    >>> plan = cut_valuing_leftovers(rail, Limits(), per_mille=1000)
    >>> plan.cost, plan.bound, plan.ending.value
    (50, 0, 'nothing left to try')
    """
    charged = valued(problem, per_mille)
    plan = cut(charged, limits, ties)
    values = [new.cost - old.cost for new, old in zip(charged.stock, problem.stock, strict=True)]
    if not any(values):
        return plan
    cost = plan.cost - sum(values[pattern.stock] * pattern.copies for pattern in plan.patterns)
    every = sum(value * (stock.limit or 0) for value, stock in zip(values, problem.stock, strict=True))
    bound = min(cost, max(0, plan.bound - every))
    ending = plan.ending
    if cost == bound:
        ending = Ending.PROVEN
    elif ending is Ending.PROVEN:
        ending = Ending.EXHAUSTED
    return replace(plan, cost=cost, bound=bound, ending=ending)


def valued(problem: CuttingStock, per_mille: int) -> CuttingStock:
    """Return the problem with sticks on hand charged at a share of what their length costs new.

    Free limited stock is used up whenever that saves the least money. Charged,
    a long leftover is kept for a job that needs it unless it saves at least its
    value. The plan's cost and bound then hold that value; what is paid is the
    cost without it.

    Parameters
    ----------
    problem
        Rails and stock; sticks on hand cost 0 and are limited.
    per_mille
        Share of the cheapest price for a length unit on sale; 0 leaves the problem as it is.

    Examples
    --------
    >>> from solver.sticks.model import StockLength
    >>> new, old = StockLength(length=100, cost=50), StockLength(length=60, cost=0, limit=1)
    >>> rails = {"lengths": (40,), "counts": (2,), "kerf": 0}
    >>> [stock.cost for stock in valued(CuttingStock(stock=(new, old), **rails), 500).stock]
    [50, 15]
    """
    prices = [
        price
        for stock in problem.stock
        if stock.cost
        for price in [Fraction(stock.cost, stock.length)]
        + ([Fraction(stock.bundle[1], stock.bundle[0] * stock.length)] if stock.bundle else [])
    ]
    if not prices or per_mille == 0:
        return problem
    cheapest = min(prices)
    stock = tuple(
        # What lies there one by one is in no bundle: nobody pays for a bundle of what is free.
        replace(stock, cost=int(cheapest * stock.length * per_mille / 1000), bundle=None)
        if stock.cost == 0 and stock.limit is not None
        else stock
        for stock in problem.stock
    )
    return replace(problem, stock=stock)
