"""Proof by listing: every crosscut a better plan could hold, and an exact decision over those."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from fractions import Fraction

import numpy as np

from solver.rolls.bounds import densities, roll_rooms
from solver.rolls.branching import Branching
from solver.rolls.crosscuts import Crosscut
from solver.rolls.decide import CrosscutModel, Decision, Listed, Verdict
from solver.rolls.demand import Demand, Whole
from solver.rolls.filled import fill_rolls
from solver.rolls.listing import crosscuts_within
from solver.rolls.odd_sets import Mask, OddSets, Supply, value_table
from solver.rolls.standing import Standing
from solver.rolls.trimming import trimmed

SMALL_LIST = 1_500
"""Crosscuts up to which an exact decision is usually quick."""
FEW_BLANKS = 80
"""Blanks up to which filling each roll on its own can be decided."""
MOST_SHARPENED = 8_000
"""Crosscuts up to which a programme over all of them is quick beside what follows."""
QUICK = 0.2
"""Share of the units after which branching takes over from CP-SAT where the rolls' length is joined."""
NODES = 1_000
"""Nodes of branching for a unit."""


def close_running(standing: Standing, *, most: int, units: float, share: Fraction = Fraction(1)) -> Verdict:
    """Look for the cheapest plan below the best one, where all whole rolls are free of charge.

    The cheapest is found, or it is proven that there is none, or more than
    ``most`` crosscuts could take part, or CP-SAT does not end within ``units``
    of deterministic time.

    With a ``share`` under 1 only the crosscuts take part that a plan could hold
    which costs at most that share of the way from bound to cost: there are far
    fewer, the best plan of them is often the best of all, and if it costs more,
    it is proven that no plan is as cheap as that.
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
    # Nobody needs more free rolls than there are blanks.
    every = int(demand.counts.sum())
    on_hand = [0 if o.running else every if o.limit is None else o.limit for o in demand.offers]
    free = sum(density[o.width] * o.length * rolls for o, rolls in zip(demand.offers, on_hand, strict=True))
    need = sum(int(v) * int(c) for v, c in zip(values, demand.counts, strict=True))
    step = standing.purchases.step
    ceiling = standing.bound + int((standing.cost - step - standing.bound) * share) // step * step
    slack = best * ceiling + free - need
    listed = crosscuts_within(
        standing.pricing, standing.effort, values, demand.counts, asked, [slack] * len(asked), max(most, MOST_SHARPENED)
    )
    if listed is None:
        return Verdict.OPEN

    def judged(worth: Whole, kept: Mask, need: int) -> Mask | None:
        density = densities(demand, value_table(demand, listed, worth, kept))
        best = max(density[width] / rate for width, rate in rates.items())
        free = sum((density[o.width] * o.length * n for o, n in zip(demand.offers, on_hand, strict=True)), Fraction(0))
        lowest = (need - free) / best if best else Fraction(ceiling + step)
        standing.raise_bound(min(lowest, Fraction(ceiling + step)))
        if lowest > ceiling:
            return None
        asked = [
            density[width] if width in racked or width not in rates else best * rates[width]
            for width in range(len(density))
        ]
        return kept & _within(listed, worth, asked, [best * ceiling + free - need] * len(asked))

    rooms = np.diag(np.ones(len(density)))
    supplies = [
        Supply(0.0, tuple(rooms[o.width] * o.length * n), 1.0) for o, n in zip(demand.offers, on_hand, strict=True) if n
    ]
    supplies += [Supply(float(rate), tuple(rooms[width]), None) for width, rate in rates.items()]
    left = _sharpened(standing, listed, supplies, judged)
    if left is None or standing.proven:
        return Verdict.REFUTED
    if len(left) > most:
        return Verdict.OPEN
    model = CrosscutModel(standing.pricing, standing.effort, left, demand.counts)
    decision = model.cheapest_running(on_hand, standing.cost, units)
    if decision.verdict is not Verdict.OPEN:
        cheapest = standing.cost if decision.filled is None else decision.value
        standing.raise_bound(min(cheapest, ceiling + step))
    if decision.filled is not None:
        standing.keep(decision.filled)
    return decision.verdict


def close_purchase(standing: Standing, bought: Sequence[int], *, most: int, units: float) -> Decision | None:
    """Decide whether a purchase suffices; None if more than ``most`` crosscuts could take part.

    Where the crosscuts of a plan fit the rolls' length joined but not the single
    rolls, that is open for more than a few blanks, and they are returned.

    The master must just have been measured against the purchase
    (``Master.measure`` and ``generate``): its dual values decide what can take part.
    """
    demand, master = standing.demand, standing.master
    density = densities(demand, master.table)
    need = sum(int(v) * int(c) for v, c in zip(master.values, demand.counts, strict=True))
    slack = _slack(demand, master.table, need, bought, compiled=standing.pricing.compiled)
    if slack is None:
        return Decision(Verdict.REFUTED)
    listed = crosscuts_within(
        standing.pricing, standing.effort, master.values, demand.counts, density, slack, max(most, MOST_SHARPENED)
    )
    if listed is None:
        return None

    def judged(worth: Whole, kept: Mask, need: int) -> Mask | None:
        table = value_table(demand, listed, worth, kept)
        slack = _slack(demand, table, need, bought, compiled=standing.pricing.compiled)
        return None if slack is None else kept & _within(listed, worth, densities(demand, table), slack)

    room = [0.0] * len(density)
    for offer, count in zip(demand.offers, bought, strict=True):
        room[offer.width] += offer.length * count
    left = _sharpened(standing, listed, [Supply(1.0, tuple(room), None)], judged)
    if left is None:
        return Decision(Verdict.REFUTED)
    if len(left) > most:
        return None
    decision = _fits_length(standing, left, bought, units)
    if decision.verdict is not Verdict.FOUND:
        return decision
    if decision.chosen is not None:
        filled, over = fill_rolls(demand, decision.chosen, bought)
        if not over:
            return replace(decision, filled=filled)
        if int(demand.counts.sum()) > FEW_BLANKS:
            return replace(decision, verdict=Verdict.OPEN)
    return CrosscutModel(standing.pricing, standing.effort, left, demand.counts).fits_rolls(bought, units)


def _slack(demand: Demand, table: Whole, need: int, bought: Sequence[int], *, compiled: bool) -> list[Fraction] | None:
    """Return the most value a crosscut may lose on each width of a purchase; None if the purchase cannot do.

    ``table`` holds the best value of a crosscut of each length on each width.
    """
    density = densities(demand, table)
    rooms = roll_rooms(demand, table, compiled=compiled)
    spare = sum((room * count for room, count in zip(rooms, bought, strict=True)), Fraction(0)) - need
    if spare < 0:
        return None
    slack = [Fraction(-1)] * len(density)
    for offer, room, count in zip(demand.offers, rooms, bought, strict=True):
        if count:
            # What a roll cannot hold at the best is lost on it anyway, and may be lost by this crosscut.
            least = Fraction(0) if offer.running else density[offer.width] * offer.length - room
            slack[offer.width] = max(slack[offer.width], spare + least)
    return slack


def _within(listed: Listed, worth: Whole, asked: Sequence[Fraction], slack: Sequence[Fraction]) -> Mask:
    """Return which crosscuts lose no more than the slack of their width; one in doubt stays."""
    length = np.array([crosscut.length for crosscut, _ in listed], dtype=np.float64)
    width = np.array([width for _, width in listed], dtype=np.int64)
    due = np.array([float(a) for a in asked])[width] * length
    most = np.array([float(s) for s in slack])[width]
    return np.asarray((most >= 0) & (due - worth <= most + 1e-9 * (due + np.abs(most))))


def _sharpened(
    standing: Standing, listed: Listed, supplies: Sequence[Supply], judged: Callable[[Whole, Mask, int], Mask | None]
) -> Listed | None:
    """Return the crosscuts that still may take part after odd sets, None if it is proven that none will do."""
    if not 0 < len(listed) <= MOST_SHARPENED:
        return listed
    sets = OddSets(
        listed,
        standing.demand.counts,
        len(standing.demand.widths),
        supplies,
        standing.effort,
        compiled=standing.pricing.compiled,
    )
    if not sets.tightened(judged):
        return None
    return [column for column, kept in zip(listed, sets.kept.tolist(), strict=True) if kept]


def _fits_length(
    standing: Standing, listed: Sequence[tuple[Crosscut, int]], bought: Sequence[int], units: float
) -> Decision:
    """Decide whether listed crosscuts fit the rolls' length joined: what does not fit that fits no rolls either."""
    demand, effort = standing.demand, standing.effort
    room = [0] * len(demand.widths)
    for offer, count in zip(demand.offers, bought, strict=True):
        room[offer.width] += offer.length * count
    decision = CrosscutModel(standing.pricing, effort, listed, demand.counts).fits_length(room, units * QUICK)
    if decision.verdict is not Verdict.OPEN:
        return decision
    verdict, chosen = Branching(listed, demand.counts, room, effort).decided(
        int(NODES * units), thorough=int(demand.counts.sum()) > FEW_BLANKS
    )
    return Decision(verdict, trimmed(standing.pricing, chosen, demand.counts) if chosen else None)
