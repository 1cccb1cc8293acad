"""What a whole chain of revisions has bought: every purchase list up to the latest, less what did not come."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import replace

from solver.events import Event, ShortDelivery
from solver.money import Cents
from solver.plan import Plan, PurchaseLine
from solver.revision.record import ChainPurchase, Revision


def purchases_before(before: Revision, events: Sequence[Event]) -> tuple[ChainPurchase, ...] | None:
    """Return what a chain has bought before its next revision; None where an older file does not say.

    What did not come is not paid: of a stock's cost on the list, its share by
    number, rounded down to the cent.
    """
    if before.bought_before is None:
        return None
    lines = _bought(before.plan)
    cost: dict[str, int] = defaultdict(int)
    number: dict[str, int] = defaultdict(int)
    for line in lines:
        cost[line.stock] += line.cost or 0
        number[line.stock] += line.buy * (line.size if line.what.startswith("stick ") else 1)
    missing: dict[str, int] = defaultdict(int)
    for event in events:
        if isinstance(event, ShortDelivery) and event.missing:
            missing[event.stock] += event.missing
    not_come = tuple((stock, Cents(cost[stock] * count // number[stock])) for stock, count in missing.items())
    return (*before.bought_before, ChainPurchase(revision=before.number, lines=lines, not_come=not_come))


def chain_purchases(revision: Revision) -> tuple[ChainPurchase, ...] | None:
    """Return what a chain has bought up to a revision, its own purchase list included; None if that is not known."""
    if revision.bought_before is None:
        return None
    return (*revision.bought_before, ChainPurchase(revision=revision.number, lines=_bought(revision.plan)))


def with_all_bought(revision: Revision) -> Plan | None:
    """Return the plan with everything that its chain has paid for as its purchase list, such as to share it out.

    What did not come is taken off the last line of its stock. None if what the
    chain has bought is not known.
    """
    purchases = chain_purchases(revision)
    if purchases is None:
        return None
    paid: list[PurchaseLine] = []
    for purchase in purchases:
        off = dict(purchase.not_come)
        for line in reversed(purchase.lines):
            less = min(off.get(line.stock, 0), line.cost or 0)
            off[line.stock] = Cents(off.get(line.stock, 0) - less)
            paid.append(line if not less else replace(line, cost=Cents((line.cost or 0) - less)))
    total = None if revision.plan.total is None else Cents(sum(line.cost or 0 for line in paid))
    return replace(revision.plan, purchases=tuple(paid), total=total)


def _bought(plan: Plan) -> tuple[PurchaseLine, ...]:
    return tuple(line for line in plan.purchases if line.buy)
