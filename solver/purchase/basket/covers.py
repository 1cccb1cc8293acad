"""The hardware of a joint purchase: needs as rows, packs as articles, kits as givers."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping

from solver.catalogue import Hardware
from solver.parts.record import BasketPart
from solver.purchase.basket.model import Article, Cover, Way
from solver.purchase.basket.stall import Stall


def covers(part: BasketPart, stall: Stall) -> Iterator[Cover]:
    """Yield the rows of all hardware for which packs are listed; the rest is bought as needed, without a price."""
    wanted: dict[Hardware, dict[str, int]] = defaultdict(dict)
    for want in part.wants:
        fitting = [pack for pack in part.packs if pack.hardware is want.hardware and pack.fits in ("", want.fits)]
        if fitting:
            wanted[want.hardware][want.fits] = want.amount
    for hardware, needs in wanted.items():
        yield _cover(part, stall, hardware, needs)


def _cover(part: BasketPart, stall: Stall, hardware: Hardware, needs: Mapping[str, int]) -> Cover:
    """Return the row of one kind; a need that names no fit is served by what fits everything alone."""
    anything = stall.resource()
    own = {fits: stall.resource() for fits in needs}
    resources = {**{fits: resource for fits, resource in own.items() if fits}, "": anything}
    total = sum(needs.values())
    for pack in part.packs:
        if pack.hardware is not hardware or pack.fits not in resources:
            continue
        resource = resources[pack.fits]
        stall.on_hand[resource] += min(pack.on_hand, total)
        if pack.on_sale and pack.limit != 0:
            stall.sell(
                Article(
                    name=pack.name,
                    ways=(Way(size=1, price=pack.price or 0),),
                    most=-(-total // pack.size),
                    limit=pack.limit,
                    minimum=pack.minimum,
                    supplier=stall.supplier(pack.supplier),
                    gives=((resource, pack.size),),
                )
            )
    for kit in part.kits:
        for content in kit.hardware:
            if content.hardware is hardware and content.fits in resources:
                stall.kit_gives(kit, resources[content.fits], content.amount, total)
    for kit in part.rack:
        for content in kit.hardware:
            if content.hardware is hardware and content.fits in resources:
                stall.on_hand[resources[content.fits]] += min(content.amount * kit.on_hand, total)
    return Cover(needs=tuple((own[fits], amount) for fits, amount in needs.items()), anything=anything)
