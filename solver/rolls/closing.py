"""Proof by listing: every crosscut a better plan could hold, and an exact decision over those."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from solver.rolls.bounds import densities, roll_rooms
from solver.rolls.decide import CrosscutModel, Decision, Verdict
from solver.rolls.listing import crosscuts_within
from solver.rolls.standing import Standing

SMALL_LIST = 1_500
"""Crosscuts up to which an exact decision is usually quick."""


def close_running(standing: Standing, *, most: int, units: float) -> Verdict:
    """Look for the cheapest plan below the best one, where all whole rolls are free of charge.

    The cheapest is found, or it is proven that there is none, or more than
    ``most`` crosscuts could take part, or CP-SAT does not end within ``units``
    of deterministic time.
    """
    demand, master = standing.demand, standing.master
    if standing.cost is None:
        return Verdict.OPEN
    master.buy()
    standing.learn_cut()
    if standing.done:
        return Verdict.REFUTED if standing.proven else Verdict.OPEN
    values, density = master.values, densities(demand, master.table)
    rates: dict[int, Fraction] = {}
    for offer in demand.offers:
        if offer.running:
            rate = Fraction(offer.cost, offer.length)
            rates[offer.width] = min(rate, rates.get(offer.width, rate))
    if not rates or not all(rates.values()):
        return Verdict.OPEN
    # Value that a unit of money buys at the best; what a crosscut costs beyond the value it holds is lost.
    best = max(density[width] / rate for width, rate in rates.items())
    racked = {offer.width for offer in demand.offers if not offer.running}
    asked = [
        density[width] if width in racked or width not in rates else best * rates[width]
        for width in range(len(density))
    ]
    free = sum(density[o.width] * o.length * (o.limit or 0) for o in demand.offers if not o.running)
    need = sum(int(v) * int(c) for v, c in zip(values, demand.counts, strict=True))
    slack = best * (standing.cost - standing.purchases.step) + free - need
    listed = crosscuts_within(
        standing.pricing, standing.effort, values, demand.counts, asked, [slack] * len(asked), most
    )
    if listed is None:
        return Verdict.OPEN
    on_hand = [0 if offer.running else offer.limit or 0 for offer in demand.offers]
    model = CrosscutModel(standing.pricing, standing.effort, listed, demand.counts)
    decision = model.cheapest_running(on_hand, standing.cost, units)
    if decision.verdict is not Verdict.OPEN:
        standing.raise_bound(standing.cost if decision.filled is None else decision.value)
    if decision.filled is not None:
        standing.keep(decision.filled)
    return decision.verdict


def close_purchase(standing: Standing, bought: Sequence[int], *, most: int, units: float) -> Decision | None:
    """Decide whether a purchase suffices; None if more than ``most`` crosscuts could take part.

    The master must just have been measured against the purchase
    (``Master.measure`` and ``generate``): its dual values decide what can take part.
    """
    demand, master = standing.demand, standing.master
    density = densities(demand, master.table)
    rooms = roll_rooms(demand, master.table, compiled=standing.pricing.compiled)
    need = sum(int(v) * int(c) for v, c in zip(master.values, demand.counts, strict=True))
    spare = sum((room * count for room, count in zip(rooms, bought, strict=True)), Fraction(0)) - need
    slack = [Fraction(-1)] * len(density)
    for offer, room, count in zip(demand.offers, rooms, bought, strict=True):
        if count:
            # What a roll cannot hold at the best is lost on it anyway, and may be lost by this crosscut.
            least = Fraction(0) if offer.running else density[offer.width] * offer.length - room
            slack[offer.width] = max(slack[offer.width], spare + least)
    listed = crosscuts_within(standing.pricing, standing.effort, master.values, demand.counts, density, slack, most)
    if listed is None:
        return None
    model = CrosscutModel(standing.pricing, standing.effort, listed, demand.counts)
    return model.fits_rolls(bought, units)
