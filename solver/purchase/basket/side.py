"""What a joint purchase asks of one group: a cut where amounts fall short, and its best plan with free stock."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import product
from typing import Generic, Protocol, TypeVar

from solver.limits import Ending, Limits
from solver.parts.offers import RollOffer, StickOffer
from solver.purchase.basket.model import Cut

Offered = TypeVar("Offered", StickOffer, RollOffer)


@dataclass(frozen=True, kw_only=True, slots=True)
class Least:
    """The least number sold of loose stock: ``count`` for ``price``, paid as soon as any is bought.

    Where it is ``apart``, what lies within the least number and what goes beyond
    cannot be mixed in one calculation (bundles; running length, which is one
    piece): either no more than the least number is used, or all is counted at
    full price less ``price``.
    """

    count: int
    price: int
    apart: bool


@dataclass(frozen=True, kw_only=True, slots=True)
class Slot(Generic[Offered]):
    """One kind of stock a group may use, the resource behind it, and its least number if it has one."""

    offer: Offered
    resource: int
    least: Least | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class Terms:
    """What a group is given, in step with its slots, shape (n_slots,).

    ``free`` amounts are there for nothing; loose stock is ``sold`` or not; of a
    slot with a least number that number is paid exactly where it is sold.
    """

    free: tuple[int, ...]
    sold: tuple[bool, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class Solved:
    """A group solved: ``used`` of each slot, cost and exact bound of the loose stock beyond what is paid.

    ``complete`` is False where stock that does not exist had to stand in; the
    bound holds all the same.
    """

    cost: int
    bound: int
    used: tuple[int, ...]
    complete: bool
    ending: Ending
    work: int
    answer: object

    @property
    def proven(self) -> bool:
        """Whether nothing cheaper can exist."""
        return self.cost == self.bound


class Side(Protocol):
    """One group of a basket."""

    @property
    def resources(self) -> tuple[int, ...]:
        """The resource behind each slot, shape (n_slots,)."""
        ...

    def first_cut(self) -> Cut | None:
        """Return what the group's pieces are worth in loose stock, as a cut on everything; None if that is unknown."""
        ...

    def shortfall(self, amounts: Sequence[int]) -> Cut | None:
        """Return what rules these amounts of each slot out, or None if the group may have enough."""
        ...

    def solved(self, terms: Terms, missing_cost: int, limits: Limits) -> Solved:
        """Return the group's best plan; stock that does not exist costs ``missing_cost`` a piece."""
        ...


def within_or_beyond(leasts: Sequence[Least | None], sold: Sequence[bool]) -> Iterator[dict[int, bool]]:
    """Yield every case of the slots whose least number stands apart: whether each goes beyond it.

    Examples
    --------
    >>> list(within_or_beyond([None, Least(count=5, price=40, apart=True)], [True, True]))
    [{1: False}, {1: True}]
    """
    apart = [place for place, least in enumerate(leasts) if least is not None and least.apart and sold[place]]
    for beyond in product((False, True), repeat=len(apart)):
        yield dict(zip(apart, beyond, strict=True))


def credited(solved: Solved, leasts: Mapping[int, Least], full_price: Mapping[int, int]) -> Solved:
    """Return a case with what the least numbers it goes beyond have already paid.

    Parameters
    ----------
    solved
        The case at full price.
    leasts
        The least numbers it goes beyond, by slot.
    full_price
        What it pays for each of these slots.
    """
    paid = sum(least.price for least in leasts.values())
    saved = sum(min(least.price, full_price[place]) for place, least in leasts.items())
    cost = solved.cost - saved
    return replace(solved, cost=cost, bound=min(cost, max(0, solved.bound - paid)))


def best_case(cases: Sequence[Solved]) -> Solved:
    """Return the cheapest complete case; nothing is cheaper than the lowest bound of all."""
    best = min(cases, key=lambda case: (not case.complete, case.cost))
    bound = min(case.bound for case in cases)
    return replace(best, bound=min(best.cost, bound), work=sum(case.work for case in cases))
