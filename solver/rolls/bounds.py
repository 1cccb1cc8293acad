"""Exact lower bounds on the cost, from whole-number values of the kinds alone."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from solver.rolls.demand import Demand, Offer, Whole
from solver.rolls.knapsack import ROLL_BEST

SCALE = 1 << 36
"""Whole-number value of the dearest kind: fine enough for a bound, small enough for 64 bits."""


ROLL_GRID = 20_000
"""Units a long roll is measured in, at most, where whole crosscuts are fitted on it for a bound."""


PATTERN_GRID = 6_000
"""The same for finding good patterns, with crosscuts rounded up."""


@dataclass(frozen=True, slots=True)
class Cut:
    """What every purchase must satisfy: ``sum(room[r] * bought[r]) >= need``, all whole numbers.

    ``room`` is the most value that one roll (or selling step) of offer r can
    hold, ``need`` the value of all blanks.
    """

    room: tuple[Fraction, ...]
    need: int

    def satisfied(self, bought: Sequence[int]) -> bool:
        """Whether rolls bought of each offer hold what the blanks are worth."""
        return sum(room * each for room, each in zip(self.room, bought, strict=True)) >= self.need


def whole_values(duals: NDArray[np.float64]) -> Whole:
    """Return float dual values as whole numbers, the largest of them about ``SCALE``."""
    top = float(duals.max(initial=0.0))
    if not 0 < top < float("inf"):
        return np.zeros(len(duals), np.int64)
    return np.floor(np.maximum(duals, 0.0) * (SCALE / top)).astype(np.int64)


def densities(demand: Demand, table: Whole) -> list[Fraction]:
    """Return the greatest value a unit of length can hold on each width, exact.

    ``table`` are the best crosscut values, shape (n_lengths, n_widths).
    """
    fits = demand.fits()
    found = []
    for width in range(len(demand.widths)):
        near = np.where(fits[:, width], table[:, width] / demand.lengths, -1.0)
        top = float(near.max())
        close = np.flatnonzero(near >= top * (1 - 1e-12))
        found.append(max((Fraction(int(table[i, width]), int(demand.lengths[i])) for i in close), default=Fraction(0)))
    return found


def roll_rooms(demand: Demand, table: Whole, *, compiled: bool) -> list[Fraction]:
    """Return the most value one roll (or selling step) of each offer can hold, shape (n_offers,).

    For whole rolls this is the better of two bounds: the densest crosscut over
    the full length, and whole crosscuts that fit the roll together. For the
    second a long roll is measured in a coarser unit with crosscuts rounded down
    and so never holds too little.
    """
    density = densities(demand, table)
    room = [density[o.width] * o.length for o in demand.offers]
    for width in range(len(demand.widths)):
        here = [n for n, o in enumerate(demand.offers) if o.width == width and not o.running]
        lengths, values = _undominated(demand, table, width)
        if not here or not len(lengths):
            continue
        longest = max(demand.offers[n].length for n in here)
        unit = _roll_unit(lengths, longest, compiled=compiled)
        if lengths[0] < unit:
            continue
        best = (ROLL_BEST.compiled if compiled else ROLL_BEST.plain)(lengths // unit, values, longest // unit)
        for n in here:
            room[n] = Fraction(min(int(room[n]), int(best[demand.offers[n].length // unit])))
    return room


def roll_patterns(demand: Demand, table: Whole, *, compiled: bool) -> list[tuple[tuple[tuple[int, int], ...], int]]:
    """Return for each offer the best crosscut lengths for a roll as (length, how many), and the value they hold.

    Running length is measured by its step: the densest crosscut, and its value for a step.
    """
    found: list[tuple[tuple[tuple[int, int], ...], int]] = [((), 0)] * len(demand.offers)
    for width in range(len(demand.widths)):
        here = [n for n, o in enumerate(demand.offers) if o.width == width]
        lengths, values = _undominated(demand, table, width)
        if not here or not len(lengths):
            continue
        densest = int(np.argmax(values / lengths))
        whole = [n for n in here if not demand.offers[n].running]
        for n in here:
            if demand.offers[n].running:
                value = int(values[densest]) * demand.offers[n].length // int(lengths[densest])
                found[n] = (((int(lengths[densest]), 1),), value)
        if not whole:
            continue
        longest = max(demand.offers[n].length for n in whole)
        unit = max(int(np.gcd.reduce(lengths)), -(-longest // (PATTERN_GRID if compiled else ROLL_GRID // 16)))
        # Crosscuts are rounded up here: whatever fits in the coarser unit fits the roll.
        sizes = -(-lengths // unit)
        best = (ROLL_BEST.compiled if compiled else ROLL_BEST.plain)(sizes, values, longest // unit)
        for n in whole:
            place = demand.offers[n].length // unit
            found[n] = (_traced(lengths, sizes, values, best, place), int(best[place]))
    return found


def _traced(lengths: Whole, sizes: Whole, values: Whole, best: Whole, place: int) -> tuple[tuple[int, int], ...]:
    taken: Counter[int] = Counter()
    while best[place] > 0:
        while place and best[place] == best[place - 1]:
            place -= 1
        fits = np.flatnonzero(sizes <= place)
        number = fits[np.flatnonzero(best[place - sizes[fits]] + values[fits] == best[place])[0]]
        taken[int(lengths[number])] += 1
        place -= int(sizes[number])
    return tuple(sorted(taken.items(), reverse=True))


def _roll_unit(lengths: Whole, longest: int, *, compiled: bool) -> int:
    return max(int(np.gcd.reduce(lengths)), -(-longest // (ROLL_GRID if compiled else ROLL_GRID // 16)))


def _undominated(demand: Demand, table: Whole, width: int) -> tuple[Whole, Whole]:
    """Return crosscut lengths of a width and their values, without those worth no more than a shorter one."""
    fits = demand.fits()[:, width]
    lengths, values = demand.lengths[fits], table[fits, width]
    rising = values > np.maximum.accumulate(np.concatenate([[0], values[:-1]])) if len(values) else fits[:0]
    return lengths[rising], values[rising]


def cut_from(demand: Demand, values: Whole, table: Whole, *, compiled: bool = True) -> Cut:
    """Return the cut that values of the kinds imply: what the rolls must hold in all."""
    need = sum(int(v) * int(c) for v, c in zip(values, demand.counts, strict=True))
    return Cut(room=tuple(roll_rooms(demand, table, compiled=compiled)), need=need)


def area_cut(demand: Demand) -> Cut:
    """Return the cut by area alone: weak, but at hand before anything is searched, for any number of stages."""
    need = sum(kind.across * kind.along * kind.count for kind in demand.kinds)
    room = tuple(
        Fraction(demand.problem.rolls[offer.number].width * offer.length * demand.length_unit)
        for offer in demand.offers
    )
    return Cut(room=room, need=need)


def least_cost(cut: Cut, offers: Sequence[Offer]) -> Fraction | None:
    """Return the least cost at which purchases, even of fractions of rolls, satisfy a cut.

    None if no purchase within the limits satisfies it.

    Examples
    --------
    Blanks worth 100, one free roll on hand that holds 30 and rolls at 7 that hold 20:

    >>> free = Offer(number=0, width=0, length=3, cost=0, limit=1, running=False)
    >>> sold = Offer(number=1, width=0, length=2, cost=7, limit=None, running=False)
    >>> least_cost(Cut(room=(Fraction(30), Fraction(20)), need=100), (free, sold))
    Fraction(49, 2)
    """
    need, cost = Fraction(cut.need), Fraction(0)
    useful = [(o.cost / room, room, o) for room, o in zip(cut.room, offers, strict=True) if room > 0]
    for price, room, offer in sorted(useful, key=lambda entry: (entry[0], entry[2].number)):
        if need <= 0:
            return cost
        take = need if offer.limit is None else min(need, room * offer.limit)
        need -= take
        cost += take * price
    return cost if need <= 0 else None
