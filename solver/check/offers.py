"""Recount what the stock list says of each purchase: its price, its least and greatest number, and the delivery."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator

from solver.catalogue import Kit, Pack, RollStock, StickStock
from solver.check.fault import Fault
from solver.plan import Plan, PurchaseLine
from solver.problem import Problem


def offer_faults(problem: Problem, plan: Plan) -> Iterator[Fault]:
    """Yield purchases that the stock list does not sell in that number or at that price, and wrong deliveries."""
    stock = problem.catalogue
    offers: dict[str, list[StickStock | RollStock | Pack | Kit]] = defaultdict(list)
    for records in (stock.sticks, stock.rolls, stock.packs, stock.kits):
        for record in records:
            offers[record.name].append(record)
    bought: Counter[str] = Counter()
    for line in plan.purchases:
        if not line.stock:
            continue
        if not offers[line.stock]:
            yield Fault(where=_name(line), rule="only what the stock list sells is bought", amount=line.buy)
            continue
        sold = [(size, price) for offer in offers[line.stock] for size, price in _sold(offer)]
        if (line.size, line.price) not in sold:
            yield Fault(where=_name(line), rule="in the size and at the price of the stock list", amount=line.buy)
        if line.supplier not in {offer.supplier for offer in offers[line.stock]}:
            yield Fault(where=_name(line), rule="bought from who sells it", amount=line.buy)
        steps = any(isinstance(offer, Pack) or getattr(offer, "step", None) for offer in offers[line.stock])
        bought[line.stock] += line.buy * (1 if steps else line.size)
    for name, count in bought.items():
        if len(offers[name]) == 1 and count:
            yield from _count_faults(offers[name][0], count)
    yield from _delivery_faults(problem, plan)


def _sold(offer: StickStock | RollStock | Pack | Kit) -> list[tuple[int, int | None]]:
    match offer:
        case StickStock():
            return [(1, offer.price), *([(offer.bundle, offer.bundle_price)] if offer.bundle else [])]
        case RollStock():
            return [(offer.step or 1, offer.price)]
        case Pack():
            return [(offer.size, offer.price)]
        case Kit():
            return [(1, offer.price)]


def _count_faults(offer: StickStock | RollStock | Pack | Kit, count: int) -> Iterator[Fault]:
    where = f"purchase {offer.name}"
    if count < offer.minimum:
        yield Fault(where=where, rule=f"no fewer than {offer.minimum} are sold", amount=offer.minimum - count)
    allowed = offer.limit if offer.on_sale else 0
    if allowed is not None and count > allowed:
        yield Fault(where=where, rule=f"at most {allowed} are sold", amount=count - allowed)


def _name(line: PurchaseLine) -> str:
    return f"purchase {line.stock or line.what}"


def _delivery_faults(problem: Problem, plan: Plan) -> Iterator[Fault]:
    sells = {line.supplier for line in plan.purchases if line.stock and line.buy}
    for supplier in problem.catalogue.suppliers:
        name = f"delivery by {supplier.name}"
        charged = [line.cost for line in plan.purchases if line.what == name and not line.stock]
        wanted = [supplier.delivery] if supplier.name in sells and supplier.delivery else []
        if charged != wanted:
            amount = sum(charge or 0 for charge in charged) - sum(wanted)
            yield Fault(where=name, rule="charged once where anything is bought there", amount=amount)
