"""Of stock that cuts alike and costs nothing more, what lies on the rack is cut first."""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True, slots=True)
class Free:
    """Free stock number ``stock``: ``alike`` is equal for stock that cuts alike, ``bought`` False on the rack."""

    stock: int
    alike: Hashable
    bought: bool
    limit: int


def rack_first(taken: Sequence[tuple[int, int]], free: Sequence[Free]) -> list[list[tuple[int, int]]]:
    """Return, for each (stock, copies) taken, the (stock, copies) to take instead.

    Examples
    --------
    Three sticks of a kit that was bought, where one of the same length lies on the rack:

    >>> rack = Free(stock=0, alike=36, bought=False, limit=1)
    >>> kit = Free(stock=1, alike=36, bought=True, limit=4)
    >>> rack_first([(1, 3)], [rack, kit])
    [[(0, 1), (1, 2)]]
    """
    alike = {entry.stock: entry.alike for entry in free}
    order = sorted(free, key=lambda entry: (entry.bought, entry.stock))
    left = {entry.stock: entry.limit for entry in free}
    instead: list[list[tuple[int, int]]] = []
    for stock, copies in taken:
        if stock not in alike:
            instead.append([(stock, copies)])
            continue
        shares = []
        for entry in order:
            share = min(copies, left[entry.stock]) if entry.alike == alike[stock] else 0
            if share:
                shares.append((entry.stock, share))
                left[entry.stock] -= share
                copies -= share
        instead.append(shares)
    return instead
