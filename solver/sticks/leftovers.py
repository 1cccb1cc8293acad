"""What a leftover on hand is worth, as a setting."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from solver.sticks.model import CuttingStock


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
        replace(stock, cost=int(cheapest * stock.length * per_mille / 1000))
        if stock.cost == 0 and stock.limit is not None
        else stock
        for stock in problem.stock
    )
    return replace(problem, stock=stock)
