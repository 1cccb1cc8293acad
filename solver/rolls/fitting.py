"""A plan for given rolls: dive into them, and search around what does not quite fit."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from solver.rolls.dive import dive
from solver.rolls.filled import fill_rolls
from solver.rolls.neighbourhood import Neighbourhood
from solver.rolls.standing import Standing
from solver.rolls.trimming import Chosen


def room_of(standing: Standing, bought: Sequence[int]) -> list[int]:
    """Return the length a purchase gives on each width."""
    room = [0] * len(standing.demand.widths)
    for offer, count in zip(standing.demand.offers, bought, strict=True):
        room[offer.width] += offer.length * count
    return room


def ruled_out(standing: Standing, bought: Sequence[int]) -> bool:
    """Measure a purchase exactly; True if it is proven not to suffice. The cut learnt is kept either way."""
    standing.master.measure([float(length) for length in room_of(standing, bought)])
    cut = standing.master.generate(300)
    if cut is not None:
        standing.purchases.add(cut)
    return not standing.purchases.allowed(bought)


def fit(standing: Standing, bought: Sequence[int], *, dives: int, rounds: int) -> bool:
    """Try to cut everything from the rolls bought and keep the plan; True if it fits.

    The master must just have been measured against the purchase, for what a
    unit of length is worth on each width.

    Parameters
    ----------
    dives
        How many dives are tried.
    rounds
        Attempts of the neighbourhood search after each dive.
    """
    master = standing.master
    room = room_of(standing, bought)
    weights = np.maximum(master.prices / max(float(master.prices.max()), 1e-9), 0.05)
    for attempt in range(dives):
        if standing.effort.over():
            return False
        master.fix_rolls([float(length) for length in room], weights)
        found = dive(
            master,
            standing.effort,
            standing.chance,
            room=[float(length) for length in room],
            noise=0.3 if attempt else 0.0,
        )
        if found is None:
            return False
        if _fitted(standing, found, bought) or _searched(standing, found, bought, room, weights, rounds):
            return True
    return False


def _fitted(standing: Standing, chosen: Chosen, bought: Sequence[int]) -> bool:
    filled, over = fill_rolls(standing.demand, chosen, bought)
    if over:
        return False
    standing.keep(filled)
    return True


def _searched(
    standing: Standing,
    chosen: Chosen,
    bought: Sequence[int],
    room: list[int],
    weights: np.typing.NDArray[np.float64],
    rounds: int,
) -> bool:
    """Search around a dive until it fits."""
    if not rounds:
        return False
    search = Neighbourhood(standing.master, standing.effort, standing.chance, weights, room)
    for _ in range(rounds):
        if standing.effort.over():
            return False
        better = search.improved(chosen, standing.chance.randint(5, 12))
        if better is not None:
            chosen = better
            if search.overflow(chosen) == 0 and _fitted(standing, chosen, bought):
                return True
    return False
