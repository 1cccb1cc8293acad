"""Of plans that cost the same, the one that leaves the most useful roll ends."""

from __future__ import annotations

from collections import Counter

import numpy as np

from solver.rolls.crosscuts import Crosscut
from solver.rolls.demand import Demand
from solver.rolls.filled import Filled, cost_of, fill_rolls
from solver.rolls.neighbourhood import Neighbourhood
from solver.rolls.standing import Standing

ATTEMPTS = 12


def useful_ends(demand: Demand, filled: Filled) -> int:
    """Return how useful the ends of the rolls are: the sum of (width x length)^2, so that one long end beats two short.

    Whole rolls alone count: what is left of running length stays with the supplier.
    """
    total = 0
    for roll in filled:
        offer = demand.offers[roll.offer]
        if not offer.running:
            used = sum(crosscut.length * copies for crosscut, copies in roll.crosscuts)
            total += roll.copies * (int(demand.widths[offer.width]) * (offer.length - used)) ** 2
    return total


def tidy(standing: Standing) -> None:
    """Use less cloth of the same rolls if there is a way, and gather what is left at as few ends as possible."""
    demand = standing.demand
    if standing.best is None or standing.cost is None or standing.effort.over():
        return
    held: Counter[tuple[Crosscut, int]] = Counter()
    bought = [0] * len(demand.offers)
    for roll in standing.best:
        offer = demand.offers[roll.offer]
        bought[roll.offer] += roll.copies
        for crosscut, copies in roll.crosscuts:
            held[crosscut, offer.width] += copies * roll.copies
    if all(offer.running or not count for offer, count in zip(demand.offers, bought, strict=True)):
        return
    for number, offer in enumerate(demand.offers):
        if offer.running and bought[number]:
            length = sum(
                crosscut.length * copies * roll.copies
                for roll in standing.best
                if roll.offer == number
                for crosscut, copies in roll.crosscuts
            )
            bought[number] = -(-length // offer.length)
    chosen = [(crosscut, width, copies) for (crosscut, width), copies in held.items()]
    room = [0] * len(demand.widths)
    for offer, count in zip(demand.offers, bought, strict=True):
        room[offer.width] += offer.length * count
    _keep_if_tidier(standing, fill_rolls(demand, chosen, bought)[0])
    if not standing.pricing.exact:
        return
    search = Neighbourhood(standing.master, standing.effort, standing.chance, demand.widths.astype(np.float64), room)
    for _ in range(min(ATTEMPTS, sum(held.values()))):
        if standing.effort.over():
            return
        better = search.improved(chosen)
        if better is not None:
            chosen = better
            _keep_if_tidier(standing, fill_rolls(demand, chosen, bought)[0])


def _keep_if_tidier(standing: Standing, filled: Filled) -> None:
    """Keep a plan that holds everything, costs no more and leaves better ends."""
    demand = standing.demand
    count: Counter[int] = Counter()
    for roll in filled:
        for crosscut, copies in roll.crosscuts:
            for kind, each in crosscut.counts:
                count[kind] += each * copies * roll.copies
    complete = all(count[kind] == wanted for kind, wanted in enumerate(demand.counts.tolist()))
    if not complete or standing.best is None or standing.keep(filled):
        return
    if cost_of(demand, filled) == standing.cost and useful_ends(demand, filled) > useful_ends(demand, standing.best):
        standing.best = filled
