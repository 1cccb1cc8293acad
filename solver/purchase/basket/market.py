"""From a basket's records to a joint purchase in numbers."""

from __future__ import annotations

from dataclasses import dataclass

from solver.catalogue import RollStock, StickStock
from solver.parts.offers import RollOffer, StickOffer, kit_mesh, kit_sticks, roll_offers, stick_offers
from solver.parts.record import BasketPart, BlankPart
from solver.purchase.basket.blank_side import BlankSide
from solver.purchase.basket.covers import covers
from solver.purchase.basket.model import Article, Market, Way
from solver.purchase.basket.rail_side import RailSide
from solver.purchase.basket.side import Least, Slot
from solver.purchase.basket.stall import Stall
from solver.purchase.stock import sticks_to_buy
from solver.sticks.effort import Effort


@dataclass(frozen=True, kw_only=True, slots=True)
class Trade:
    """The numbers of a basket, and what stands behind them.

    ``kits`` are the articles of the basket's kits, in step with them. ``loose``
    gives the article on sale behind a slot: pairs (group, slot); groups number
    rails first, then blanks.
    """

    market: Market
    rails: tuple[RailSide, ...]
    blanks: tuple[BlankSide, ...]
    kits: tuple[int, ...]
    loose: dict[tuple[int, int], int]

    @property
    def sides(self) -> tuple[RailSide | BlankSide, ...]:
        """All groups in the order of their numbers."""
        return (*self.rails, *self.blanks)


def trade(part: BasketPart, effort: Effort) -> Trade:
    """Return a basket as articles, resources and sides."""
    stall = Stall(part)
    loose: dict[tuple[int, int], int] = {}
    rails = tuple(_rail_side(part, stall, loose, group, effort) for group in range(len(part.rails)))
    blanks = tuple(_blank_side(part, stall, loose, group, effort) for group in range(len(part.blanks)))
    rows = tuple(covers(part, stall))
    kits = tuple(stall.sell_kit(kit) for kit in part.kits)
    market = Market(
        articles=tuple(stall.articles),
        deliveries=tuple(supplier.delivery for supplier in part.suppliers),
        on_hand=tuple(stall.on_hand),
        covers=rows,
    )
    return Trade(market=market, rails=rails, blanks=blanks, kits=kits, loose=loose)


def _rail_side(
    basket: BasketPart, stall: Stall, loose: dict[tuple[int, int], int], group: int, effort: Effort
) -> RailSide:
    part = basket.rails[group]
    pieces = sum(run.quantity for run in part.runs)
    shortest = min(run.length for run in part.runs)
    stock = {stick.name: stick for stick in part.sticks}
    slots: list[Slot[StickOffer]] = []
    for offer in stick_offers(part):
        if not offer.bought:
            slots.append(Slot(offer=offer, resource=stall.resource(min(offer.limit or 0, pieces))))
            continue
        resource = stall.resource()
        article, least = _loose_sticks(stock[offer.stock], stall, group, resource, pieces)
        loose[group, len(slots)] = stall.sell(article)
        slots.append(Slot(offer=offer, resource=resource, least=least))
    for kit in basket.kits:
        if (kit.profile, kit.colour) != (part.profile, part.colour):
            continue
        for offer, sticks in zip(kit_sticks(kit, part.rules, 1, bought=True), kit.sticks, strict=True):
            if offer.usable >= shortest:
                slots.append(Slot(offer=offer, resource=stall.resource()))
                stall.kit_gives(kit, slots[-1].resource, sticks.count, pieces)
    return RailSide(part, slots, effort)


def _loose_sticks(
    stick: StickStock, stall: Stall, group: int, resource: int, pieces: int
) -> tuple[Article, Least | None]:
    ways = [Way(size=1, price=stick.price or 0)]
    if stick.bundle is not None and stick.bundle_price is not None:
        ways.append(Way(size=stick.bundle, price=stick.bundle_price))
    least = None
    if stick.minimum > 1:
        least = Least(count=stick.minimum, price=sticks_to_buy(stick.minimum, stick).cost, apart=len(ways) > 1)
    article = Article(
        name=stick.name,
        ways=tuple(ways),
        most=pieces,
        limit=stick.limit,
        minimum=stick.minimum,
        supplier=stall.supplier(stick.supplier),
        gives=((resource, 1),),
        group=group,
        prepaid=least.price if least is not None else 0,
        apart=least is not None and least.apart,
    )
    return article, least


def _blank_side(
    basket: BasketPart, stall: Stall, loose: dict[tuple[int, int], int], number: int, effort: Effort
) -> BlankSide:
    part = basket.blanks[number]
    group = len(basket.rails) + number
    pieces = sum(run.quantity for run in part.runs)
    stock = {roll.name: roll for roll in part.rolls}
    slots: list[Slot[RollOffer]] = []
    for offer in roll_offers(part):
        if not offer.bought:
            slots.append(Slot(offer=offer, resource=stall.resource(min(offer.limit or 0, pieces))))
            continue
        resource = stall.resource()
        article, least = _loose_rolls(stock[offer.stock], stall, part, group, resource)
        loose[group, len(slots)] = stall.sell(article)
        slots.append(Slot(offer=offer, resource=resource, least=least))
    narrowest = min(min(run.width, run.height) if part.either_way else run.width for run in part.runs)
    for kit in basket.kits:
        if kit.mesh is None or kit.mesh.mesh != part.mesh:
            continue
        for piece in kit_mesh(kit, part.rules, 1, bought=True):
            if piece.usable >= narrowest:
                slots.append(Slot(offer=piece, resource=stall.resource()))
                stall.kit_gives(kit, slots[-1].resource, kit.mesh.count, pieces)
    return BlankSide(part, slots, effort)


def _loose_rolls(
    roll: RollStock, stall: Stall, part: BlankPart, group: int, resource: int
) -> tuple[Article, Least | None]:
    pieces = sum(run.quantity for run in part.runs)
    # Every blank in a crosscut of its own, whichever way round: more running length is never of use.
    longest = sum(run.quantity * (max(run.width, run.height) + part.rules.crosscut_extra) for run in part.runs)
    least = None
    if roll.minimum > 1:
        price = roll.minimum * (roll.price or 0)
        least = Least(count=roll.minimum, price=price, apart=roll.step is not None)
    article = Article(
        name=roll.name,
        ways=(Way(size=1, price=roll.price or 0),),
        most=pieces if roll.step is None else -(-longest // roll.step),
        limit=roll.limit,
        minimum=roll.minimum,
        supplier=stall.supplier(roll.supplier),
        gives=((resource, 1),),
        group=group,
        prepaid=least.price if least is not None else 0,
        apart=least is not None and least.apart,
    )
    return article, least
