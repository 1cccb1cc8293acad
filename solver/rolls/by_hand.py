"""What a careful shop does without a computer: shelves on the best single width."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from itertools import product

from solver.errors import ProblemError
from solver.rolls.crosscuts import Crosscut
from solver.rolls.demand import Demand, Offer, ordered_demand
from solver.rolls.filled import Filled, Waiting, cost_of, handed_out
from solver.rolls.model import RollNesting
from solver.rolls.packing import first_fit
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
    return min((cost_of(demand, filled) for filled in hand_plans(demand)), default=None)


def hand_plans(demand: Demand) -> Iterator[Filled]:
    """Yield the plans of the shop: every width, rule and sort of roll that suffices."""
    ways = tuple(Way) if demand.turning else (Way.WIDE,)
    for width, rule, way in product(range(len(demand.widths)), Rule, ways):
        found = shelves(demand, width, rule, way)
        if found is None:
            continue
        rack = [o for o in demand.offers if o.cost == 0 and o.limit is not None and o.width >= width]
        rack.sort(key=lambda o: (o.width, o.length))
        sold = [o for o in demand.offers if o.width == width and o not in rack]
        for last in [[offer] for offer in sold] or [[]]:
            filled = _filled(demand, [(crosscut, copies) for crosscut, _, copies in found], rack + last)
            if filled is not None:
                yield filled


def _filled(demand: Demand, crosscuts: list[tuple[Crosscut, int]], offers: list[Offer]) -> Filled | None:
    """Return the shelves put on rolls first fit, or None if the rolls do not hold them."""
    waiting: dict[int, list[Waiting]] = defaultdict(list)
    lengths: dict[int, int] = defaultdict(int)
    for crosscut, copies in crosscuts:
        waiting[crosscut.length].append(Waiting(crosscut, copies))
        lengths[crosscut.length] += copies
    total = sum(length * copies for length, copies in lengths.items())
    number = {offer.number: n for n, offer in enumerate(demand.offers)}
    rolls = [
        (number[o.number], total, 1) if o.running else (number[o.number], o.length, o.limit or sum(lengths.values()))
        for o in offers
    ]
    fillings, left = first_fit(lengths, rolls)
    if left:
        return None
    return tuple(roll for filling in fillings for roll in handed_out(filling, waiting))
