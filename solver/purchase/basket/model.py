"""A joint purchase as numbers alone: what can be bought, what it gives, and what is known of the groups.

*Resources* are countable things: sticks of one kind, rolls of one kind, steps of
running length, pieces or ticks of hardware. *Articles* are bought and give
resources. A *group* (the rails of one profile and colour, the blanks of one
mesh) is served by some resources; whether amounts of them suffice is known only
through cuts and floors.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from solver.purchase.quantity import cheapest_quantity


@dataclass(frozen=True, kw_only=True, slots=True)
class Way:
    """One way to buy an article: ``size`` at once for ``price``."""

    size: int
    price: int


@dataclass(frozen=True, kw_only=True, slots=True)
class Article:
    """Something on sale.

    ``most`` is how many can ever be of use, ``limit`` how many can be bought
    (None: no cap) and ``minimum`` the least number sold at all. ``ways`` are
    singly, then perhaps in bundles. ``supplier`` is the number of one that
    charges for delivery, or None. ``gives`` are pairs (resource, amount in one).
    ``group`` is the group whose loose stock this is, None for kits and packs.
    ``prepaid`` is what its least number costs, 0 without one: money that no
    further use of the article adds to. It stands ``apart`` where what lies within
    the least number and what goes beyond cannot be mixed in one calculation.
    """

    name: str
    ways: tuple[Way, ...]
    most: int
    limit: int | None = None
    minimum: int = 1
    supplier: int | None = None
    gives: tuple[tuple[int, int], ...] = ()
    group: int | None = None
    prepaid: int = 0
    apart: bool = False

    def price_of(self, count: int) -> int:
        """Return the least money for ``count`` of it, within its least number."""
        bundle = (self.ways[1].size, self.ways[1].price) if len(self.ways) > 1 else None
        quantity = cheapest_quantity(
            count, price=self.ways[0].price, bundle=bundle, minimum=self.minimum, limit=self.limit
        )
        return quantity.cost


@dataclass(frozen=True, kw_only=True, slots=True)
class Cover:
    """The needs of one kind of hardware: pairs (resource, amount); ``anything`` serves every one of them."""

    needs: tuple[tuple[int, int], ...]
    anything: int


@dataclass(frozen=True, kw_only=True, slots=True)
class Market:
    """All articles, the delivery charge of each supplier, what is on hand of each resource, and the hardware."""

    articles: tuple[Article, ...]
    deliveries: tuple[int, ...]
    on_hand: tuple[int, ...]
    covers: tuple[Cover, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class Cut:
    """What all amounts must satisfy: ``sum(room[r] * amount[r]) >= need``; pairs (resource, room), all whole."""

    room: tuple[tuple[int, int], ...]
    need: int


class Condition(Enum):
    """What lets a group off a floor."""

    MORE = "more of an article is bought"
    USED = "an article sold in a least number is bought at all"
    DELIVERED = "a supplier delivers"


@dataclass(frozen=True, kw_only=True, slots=True)
class Floor:
    """The loose stock of ``group`` costs at least ``cost`` unless one of ``unless`` holds.

    Each is (condition, article or supplier, least number). The cost leaves out
    the articles ``given``, of which no more are bought than one condition says.
    """

    group: int
    cost: int
    unless: tuple[tuple[Condition, int, int], ...]
    given: frozenset[int] = frozenset()


@dataclass(frozen=True, kw_only=True, slots=True)
class Choice:
    """How many of each article are to be of use, at which cost; ``bound`` is the exact least cost not ruled out."""

    bought: tuple[int, ...]
    delivers: tuple[bool, ...]
    cost: int
    bound: int
