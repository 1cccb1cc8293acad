"""What the mesh costs a careful shop that plans by hand: shelves on the best single width."""

from __future__ import annotations

from collections import Counter
from itertools import product

from solver.errors import ProblemError
from solver.rolls.demand import Demand, Offer, ordered_demand
from solver.rolls.model import RollNesting
from solver.rolls.shelves import Rule, Way, shelves


def by_hand(problem: RollNesting) -> int | None:
    """Return the cost of first-fit or best-fit shelves on the best single width, or None if no way is found.

    The shop lays out the blanks longest first on one width, takes rolls that lie
    on the rack (cost 0) of that width or more first, and buys one sort of roll of
    that width for the rest. The cheapest of all widths, rolls and both rules counts.

    Examples
    --------
    Six blanks 36 x 50 on a roll 72 wide: three crosscuts of 50, sold by the started 100.

    >>> from solver.rolls.model import Blank, RollWidth
    >>> roll = RollWidth(width=72, length=None, cost=9, step=100)
    >>> by_hand(RollNesting(blanks=(Blank(across=36, along=50, count=6),), rolls=(roll,)))
    18
    """
    try:
        demand = ordered_demand(problem)
    except ProblemError:
        return None
    costs = []
    ways = tuple(Way) if demand.turning else (Way.WIDE,)
    for width, rule, way in product(range(len(demand.widths)), Rule, ways):
        found = shelves(demand, width, rule, way)
        if found is not None:
            lengths: Counter[int] = Counter()
            for crosscut, _, copies in found:
                lengths[crosscut.length] += copies
            costs += [cost for cost in _costs(demand, width, lengths) if cost is not None]
    return min(costs, default=None)


def _costs(demand: Demand, width: int, lengths: Counter[int]) -> list[int | None]:
    rack = [o for o in demand.offers if o.cost == 0 and o.limit is not None and o.width >= width]
    left = _first_fit(lengths, sorted(rack, key=lambda o: (o.width, o.length)))
    if not left:
        return [0]
    sold = [o for o in demand.offers if o.width == width and not (o.cost == 0 and o.limit is not None)]
    return [_bought(offer, left) for offer in sold]


def _first_fit(lengths: Counter[int], rolls: list[Offer]) -> Counter[int]:
    """Fill the rolls on the rack and return what is left."""
    left = Counter(lengths)
    for offer in rolls:
        for _ in range(offer.limit or 0):
            room = offer.length
            for length in sorted(left, reverse=True):
                take = min(left[length], room // length)
                room -= take * length
                left[length] -= take
            if room == offer.length:
                break
            left = +left
    return +left


def _bought(offer: Offer, lengths: Counter[int]) -> int | None:
    """Return the cost of first-fit decreasing on one sort of roll; equal rolls are filled together."""
    if offer.running:
        total = sum(length * count for length, count in lengths.items())
        return -(-total // offer.length) * offer.cost
    rolls = 0
    open_rolls: list[tuple[int, int]] = []
    for length in sorted(lengths, reverse=True):
        need = lengths[length]
        if length > offer.length:
            return None
        after: list[tuple[int, int]] = []
        for room, copies in open_rolls:
            each = min(room // length, need)
            if not each:
                after.append((room, copies))
                continue
            full = min(copies, need // each)
            need -= each * full
            after.append((room - each * length, full))
            if full < copies and need:
                after.append((room - need * length, 1))
                full, need = full + 1, 0
            if full < copies:
                after.append((room, copies - full))
        each = offer.length // length
        if need:
            rolls += -(-need // each)
            if need // each:
                after.append((offer.length - each * length, need // each))
            if need % each:
                after.append((offer.length - need % each * length, 1))
        open_rolls = [entry for entry in after if entry[0] >= min(lengths)]
    return rolls * offer.cost if offer.limit is None or rolls <= offer.limit else None
