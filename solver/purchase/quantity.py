"""How many at once: the cheapest way to buy a number of one thing, singly and in bundles."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True, slots=True)
class Quantity:
    """``bundles`` and ``singles`` to buy; together they may hold more than was wanted."""

    bundles: int
    singles: int
    cost: int


def cheapest_quantity(
    count: int, *, price: int, bundle: tuple[int, int] | None = None, minimum: int = 1, limit: int | None = None
) -> Quantity:
    """Return the cheapest way to ``count`` or more, and among equal money the one with the fewest.

    Parameters
    ----------
    count
        How many are wanted; for none nothing is bought.
    price
        Of one.
    bundle
        Its size and price, or None.
    minimum
        The least number sold, in bundles or singly.
    limit
        How many can be bought at most, surplus included.

    Examples
    --------
    Eight at 8 cost 64, a bundle of ten 60:

    >>> cheapest_quantity(8, price=8, bundle=(10, 60))
    Quantity(bundles=1, singles=0, cost=60)
    >>> cheapest_quantity(3, price=8, minimum=5)
    Quantity(bundles=0, singles=5, cost=40)
    """
    if not count:
        return Quantity(bundles=0, singles=0, cost=0)
    wanted = max(count, minimum)
    size, bundle_price = bundle or (wanted, price * wanted)
    ways = []
    for bundles in {0, wanted // size, -(-wanted // size)} if bundle else {0}:
        singles = max(0, wanted - bundles * size)
        bought = bundles * size + singles
        if limit is None or bought <= max(limit, count):
            ways.append((bundles * bundle_price + singles * price, bought, bundles, singles))
    cost, _, bundles, singles = min(ways)
    return Quantity(bundles=bundles, singles=singles, cost=cost)
