"""Of plans that cost the same, the one that leaves the most to be used again."""

from __future__ import annotations

from collections import Counter

import numpy as np

from solver.rolls.crosscuts import Crosscut
from solver.rolls.demand import Demand
from solver.rolls.filled import Filled, cost_of, fill_rolls
from solver.rolls.neighbourhood import Neighbourhood
from solver.rolls.standing import Standing

ATTEMPTS = 12


def useful_leftovers(demand: Demand, filled: Filled) -> tuple[int, int]:
    """Return how useful what is left of whole rolls is; of two plans of one cost the greater is better.

    First the area that is of use again: roll ends in full, side strips at half
    their area, since they are harder to place; both only from the least useful
    size up. Then the sum of (width x length)^2 of the ends, so that one long end
    beats two short. What is left of running length stays with the supplier.
    """
    problem = demand.problem
    width_least, length_least = max(1, problem.useful_width), max(1, problem.useful_length)
    area = squares = 0
    for roll in filled:
        offer = demand.offers[roll.offer]
        if offer.running:
            continue
        across = problem.rolls[offer.number].width
        used = sum(crosscut.length * copies for crosscut, copies in roll.crosscuts)
        left = (problem.rolls[offer.number].length or 0) - used * demand.length_unit
        if across >= width_least and left >= length_least:
            area += 2 * across * left * roll.copies
        squares += roll.copies * (across * left) ** 2
        for crosscut, copies in roll.crosscuts:
            beside = across - crosscut.width * demand.width_unit
            along = (crosscut.length - demand.extra) * demand.length_unit
            if beside >= width_least and along >= length_least:
                area += beside * along * copies * roll.copies
    return area, squares


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
    same = cost_of(demand, filled) == standing.cost
    if same and useful_leftovers(demand, filled) > useful_leftovers(demand, standing.best):
        standing.best = filled
