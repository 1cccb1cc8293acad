"""What sticks cost when they are sold singly and in bundles."""

from __future__ import annotations

from solver.sticks.model import StockLength


def cheapest_purchase(stock: StockLength, count: int) -> tuple[int, int]:
    """Return how many bundles and how many single sticks are the cheapest way to ``count`` sticks.

    A bundle may hold more sticks than are needed if that is cheaper, as long as
    the limit allows as many. Of equal prices the one with fewer sticks is taken.

    Examples
    --------
    Nine singles at 9 cost 81, a bundle of ten 80:

    >>> cheapest_purchase(StockLength(length=96, cost=9, bundle=(10, 80)), 9)
    (1, 0)
    """
    if stock.bundle is None or count == 0:
        return 0, count
    size, price = stock.bundle
    most = count if stock.limit is None else stock.limit
    ways = []
    for bundles in {0, count // size, -(-count // size)}:
        singles = max(0, count - bundles * size)
        bought = bundles * size + singles
        if bought <= max(most, count) or (stock.limit is None):
            ways.append((bundles * price + singles * stock.cost, bought, bundles, singles))
    _, _, bundles, singles = min(ways)
    return bundles, singles


def buying_cost(stock: StockLength, count: int) -> int:
    """Return the cheapest price of ``count`` sticks.

    Examples
    --------
    >>> buying_cost(StockLength(length=96, cost=9, bundle=(10, 80)), 12)
    98
    """
    bundles, singles = cheapest_purchase(stock, count)
    price = stock.bundle[1] if stock.bundle else 0
    return bundles * price + singles * stock.cost
