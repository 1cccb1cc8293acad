"""The cutting-stock problem as numbers alone, and its answer.

Rails of given lengths are cut from stock lengths. Between two rails, and
between the last rail and an offcut, the saw takes ``kerf``. So rails fit a stock
length S when ``sum(length + kerf) <= S + kerf``.
"""

from __future__ import annotations

from dataclasses import dataclass

from solver.errors import RecordError
from solver.limits import Ending


@dataclass(frozen=True, kw_only=True, slots=True)
class StockLength:
    """One stock length: ``length`` is usable (trims already off), ``cost`` each.

    ``limit`` caps how many exist (None: no cap). ``bundle`` = (size, cost) buys
    that many at once, as often as wanted within the limit.
    """

    length: int
    cost: int
    limit: int | None = None
    bundle: tuple[int, int] | None = None

    def __post_init__(self) -> None:
        """Refuse stock that cannot exist."""
        if self.length <= 0 or self.cost < 0 or (self.limit is not None and self.limit < 0):
            raise RecordError(f"stock length {self}: length over 0, cost and limit 0 or more")


@dataclass(frozen=True, kw_only=True, slots=True)
class CuttingStock:
    """Distinct rail ``lengths``, longest first, each wanted ``counts`` times; least cost is sought.

    ``lengths`` and ``counts`` run in step, shape (n_rails,).
    """

    lengths: tuple[int, ...]
    counts: tuple[int, ...]
    kerf: int
    stock: tuple[StockLength, ...]

    def __post_init__(self) -> None:
        """Refuse a problem that is not in the stated shape."""
        descending = all(a > b for a, b in zip(self.lengths, self.lengths[1:], strict=False))
        if len(self.lengths) != len(self.counts) or not descending or not self.lengths:
            raise RecordError("rail lengths must be distinct, longest first, each with a count")
        if min(self.lengths) <= 0 or min(self.counts) <= 0 or self.kerf < 0:
            raise RecordError("rail lengths and counts must be over 0, the kerf 0 or more")


@dataclass(frozen=True, kw_only=True, slots=True)
class StickPattern:
    """``copies`` sticks of stock number ``stock`` cut alike: pairs (rail number, how many)."""

    stock: int
    rails: tuple[tuple[int, int], ...]
    copies: int


@dataclass(frozen=True, kw_only=True, slots=True)
class CuttingPlan:
    """Patterns that cover every rail exactly, their cost, and the exact lower bound on any cost.

    ``cost`` is that of the cheapest way to buy the sticks used (bundles where they pay).
    ``work`` is how many work units the search used.
    """

    patterns: tuple[StickPattern, ...]
    cost: int
    bound: int
    ending: Ending
    work: int = 0
