"""What a basket costs in loose stock by hand: one stick length, one roll width, the cheapest packs."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TypeVar

from solver.catalogue import Hardware, Pack
from solver.errors import ProblemError
from solver.parts.blanks import roll_nesting
from solver.parts.offers import RollOffer, StickOffer, roll_offers, stick_offers
from solver.parts.rails import cutting_stock
from solver.parts.record import BasketPart, BlankPart, RailPart
from solver.purchase.hardware import delivered, kit_hardware
from solver.purchase.packs import cheapest_packs
from solver.purchase.stock import sticks_to_buy
from solver.rolls import by_hand as mesh_by_hand
from solver.rolls.model import RollWidth
from solver.sticks.by_hand import by_hand as rails_by_hand
from solver.sticks.model import StockLength

Offered = TypeVar("Offered", StickOffer, RollOffer)


@dataclass(frozen=True, kw_only=True, slots=True)
class Paid:
    """Money paid for one thing, and who sells it."""

    cost: int
    suppliers: frozenset[str] = frozenset()


@dataclass(frozen=True, kw_only=True, slots=True)
class HandWay:
    """What a basket costs in loose stock by hand, and which suppliers who charge may deliver."""

    cost: int
    delivers: frozenset[str]


def loose_by_hand(part: BasketPart, already: frozenset[str] = frozenset()) -> HandWay | None:
    """Return how the shop buys a basket in loose stock, or None if it finds no way.

    The shop tries to buy from everybody, from each supplier who charges for
    delivery alone, and from none of them, and takes the cheapest.

    Parameters
    ----------
    part
        The basket; its kits on sale are left alone.
    already
        Suppliers who deliver in any case; their charges are counted here.
    """
    charges = {supplier.name: int(supplier.delivery) for supplier in part.suppliers}
    groups = [list(_rails(rails)) for rails in part.rails] + [list(_blanks(blanks)) for blanks in part.blanks]
    found = []
    for allowed in dict.fromkeys(_who_delivers(charges, already)):
        shut = frozenset(charges) - allowed
        paid = [min((w for w in ways if not w.suppliers & shut), key=_cost, default=None) for ways in groups]
        paid += [packs_paid(part, hardware, needs, shut) for hardware, needs in wants_by_kind(part).items()]
        each = [payment for payment in paid if payment is not None]
        if len(each) == len(paid):
            delivers = already.union(*(payment.suppliers for payment in each))
            delivery = sum(charge for name, charge in charges.items() if name in delivers)
            found.append(HandWay(cost=delivery + sum(payment.cost for payment in each), delivers=allowed))
    return min(found, key=lambda way: way.cost, default=None)


def _cost(paid: Paid) -> int:
    return paid.cost


def _who_delivers(charges: Iterable[str], already: frozenset[str]) -> Iterator[frozenset[str]]:
    yield already.union(charges)
    yield already
    for name in charges:
        yield already | {name}


def wants_by_kind(part: BasketPart) -> dict[Hardware, dict[str, int]]:
    """Return the hardware wanted of a basket by kind and by what it must fit."""
    wanted: dict[Hardware, dict[str, int]] = defaultdict(dict)
    for want in part.wants:
        wanted[want.hardware][want.fits] = want.amount
    return wanted


def listed_needs(needs: Mapping[str, int], packs: Sequence[Pack]) -> dict[str, int]:
    """Return the needs for which a pack is listed; the rest is bought as needed, without a price."""
    return {fits: amount for fits, amount in needs.items() if any(pack.fits in ("", fits) for pack in packs)}


def _one_by_one(offers: Sequence[Offered]) -> Iterator[list[Offered]]:
    """Yield what lies on the rack alone, then with each offer that can be bought."""
    rack: list[Offered] = [offer for offer in offers if not offer.bought]
    yield rack
    for offer in offers:
        if offer.bought:
            with_one = list(rack)
            with_one.append(offer)
            yield with_one


def _rails(part: RailPart) -> Iterator[Paid]:
    """Yield what each single stick length costs that holds all rails together with the rack."""
    sticks = {stick.name: stick for stick in part.sticks}
    for offers in _one_by_one(stick_offers(part)):
        cost = rails_by_hand(cutting_stock(part, [_stock_length(offer) for offer in offers])) if offers else None
        if cost is not None:
            sold = sticks.get(offers[-1].stock) if cost else None
            least = sticks_to_buy(sold.minimum, sold).cost if sold else 0
            yield _paid(max(cost, least), sold.supplier if sold else None)


def _stock_length(offer: StickOffer) -> StockLength:
    bundle = None if offer.bundle is None else (offer.bundle[0], int(offer.bundle[1]))
    return StockLength(length=offer.usable, cost=offer.price or 0, limit=offer.limit, bundle=bundle)


def _blanks(part: BlankPart) -> Iterator[Paid]:
    """Yield what each single roll costs that holds all blanks together with the rack."""
    rolls = {roll.name: roll for roll in part.rolls}
    for offers in _one_by_one(roll_offers(part)):
        cost = mesh_by_hand(roll_nesting(part, [_roll_width(offer) for offer in offers])) if offers else None
        if cost is not None:
            sold = rolls.get(offers[-1].stock) if cost else None
            least = sold.minimum * (sold.price or 0) if sold else 0
            yield _paid(max(cost, least), sold.supplier if sold else None)


def _roll_width(offer: RollOffer) -> RollWidth:
    return RollWidth(
        width=offer.usable, length=offer.length, cost=offer.price or 0, step=offer.step or 1, limit=offer.limit
    )


def _paid(cost: int, supplier: str | None) -> Paid:
    return Paid(cost=cost, suppliers=frozenset([supplier] if supplier else []))


def packs_paid(part: BasketPart, hardware: Hardware, needs: Mapping[str, int], shut: frozenset[str]) -> Paid | None:
    """Return what the cheapest packs for one kind of hardware cost, or None if they do not suffice."""
    packs = delivered((pack for pack in part.packs if pack.hardware is hardware), shut)
    listed = listed_needs(needs, packs)
    if not listed:
        return Paid(cost=0)
    try:
        choice = cheapest_packs(listed, [*packs, *kit_hardware(hardware, [(kit, kit.on_hand) for kit in part.rack])])
    except ProblemError:
        return None
    bought = [(pack, count) for pack, count in zip(packs, choice.buy, strict=False) if count]
    return Paid(
        cost=sum((pack.price or 0) * count for pack, count in bought),
        suppliers=frozenset(pack.supplier for pack, _ in bought),
    )
