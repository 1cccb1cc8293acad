"""Whole crosscuts bettered by taking some apart and building them anew, thousands of times a second.

The loop is compiled and knows nothing of the linear programme but the values it starts from.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Sequence
from random import Random

import numpy as np
from numpy.typing import NDArray

from solver.kernel import Kernel
from solver.rolls.crosscuts import DENSE_UP_TO, Crosscut, CrosscutPricing
from solver.rolls.demand import Whole
from solver.rolls.effort import Effort
from solver.rolls.master import Floats
from solver.rolls.trimming import Chosen

LARGEST_FREED = 10
"""Most crosscuts taken apart in a round."""
OVERFLOW = 100.0
"""Times the dearest unit of length that a unit beyond the room counts."""
NO_END = 1e15
FEW_BLANKS = 60
"""Blanks up to which exact decisions are as quick."""
ROUNDS = 2_000
HEATS = (0.02, 0.005, 0.05)
"""Heat of one call after the other."""
IDLE = 30
"""Calls without gain after which nothing more is expected."""
MOST_CROSSCUTS = 4_000
WORTH_COMPILING = 1_000
"""Work of a search, but for plain strips, before which compiling the loop, some five seconds once, is not worth it."""


def _recreated(
    across: Whole,
    first_span: Whole,
    lengths: Whole,
    fits: NDArray[np.bool_],
    widths: Whole,
    rates: Floats,
    room: Floats,
    overflow: float,
    worth: Floats,
    held: Whole,
    spans: Whole,
    places: Whole,
    heat: float,
    rounds: int,
    seed: int,
) -> tuple[Whole, Whole, Whole, float, int]:
    """Return the best crosscuts found as (held, spans, places), their value and the steps taken.

    A round takes two to ten crosscuts apart. Then, again and again, the longest
    loose blank opens a crosscut, the best blanks beside it are found by a knapsack at
    values shaken by chance, and the width is taken that gives the most for its rate.
    What is dearer is accepted too while there is ``heat``, which falls from round to round.

    Parameters
    ----------
    across
        How far a kind reaches across a crosscut of each length, 0 where it does not fit, shape (n_kinds, n_lengths).
    first_span
        Shortest crosscut length number of each kind, shape (n_kinds,).
    worth
        Value of one blank of each kind in the unit of ``rates`` times length, shape (n_kinds,).
    held, spans, places
        Crosscuts to start from: blanks of each kind, length number and width number of each.
    room, overflow
        Length there is on each width, and what a unit beyond it costs.
    heat
        How much dearer the crosscuts may get, about, at the start.

    References
    ----------
    Schrimpf, Schneider, Stamm-Wilbrandt, Dueck, Record breaking optimization results using the ruin
    and recreate principle, Journal of Computational Physics 159 (2000).
    """
    n_kinds = across.shape[0]
    n_widths = widths.shape[0]
    top = widths[n_widths - 1]
    n_now = held.shape[0]
    total = 0
    for i in range(n_now):
        for k in range(n_kinds):
            total += held[i, k]
    most = total + 1
    now = np.zeros((most, n_kinds), np.int64)
    now_span = np.zeros(most, np.int64)
    now_place = np.zeros(most, np.int64)
    now[:n_now] = held
    now_span[:n_now] = spans
    now_place[:n_now] = places
    best = now[:n_now].copy()
    best_span = now_span[:n_now].copy()
    best_place = now_place[:n_now].copy()
    used = np.zeros(n_widths, np.float64)
    kept = np.zeros(n_widths, np.float64)
    value = 0.0
    for i in range(n_now):
        value += rates[now_place[i]] * lengths[now_span[i]]
        used[now_place[i]] += lengths[now_span[i]]
    for w in range(n_widths):
        value += overflow * max(0.0, used[w] - room[w])
    least = value
    loose = np.zeros(n_kinds, np.int64)
    shaken = worth.copy()
    n_lots = 1 + n_kinds * (2 + int(math.log2(1.0 + total)))
    rows = np.zeros((n_lots, top + 1), np.float64)
    row_kind = np.zeros(n_lots, np.int64)
    row_lot = np.zeros(n_lots, np.int64)
    new = np.zeros((0, n_kinds), np.int64)
    new_span = np.zeros(0, np.int64)
    new_place = np.zeros(0, np.int64)
    out = np.zeros(LARGEST_FREED, np.int64)
    chance = seed & 0x7FFFFFFF
    steps = 0
    for turn in range(rounds):
        warm = heat * (1.0 - turn / rounds)
        chance = (chance * 1103515245 + 12345) & 0x7FFFFFFF
        size = min(n_now, 2 + (chance >> 12) % (LARGEST_FREED - 1))
        chance = (chance * 1103515245 + 12345) & 0x7FFFFFFF
        noise = 0.25 * ((chance >> 8) % 1024) / 1024.0
        # Half of the time crosscuts of neighbouring lengths, whose blanks can change places.
        chance = (chance * 1103515245 + 12345) & 0x7FFFFFFF
        near = (chance >> 12) % 2 == 0
        chance = (chance * 1103515245 + 12345) & 0x7FFFFFFF
        middle = now_span[(chance >> 8) % n_now]
        picked = 0
        tries = 0
        while picked < size:
            chance = (chance * 1103515245 + 12345) & 0x7FFFFFFF
            i = (chance >> 8) % n_now
            tries += 1
            twice = False
            for j in range(picked):
                if out[j] == i:
                    twice = True
            if twice:
                continue
            if near and tries < 60:
                chance = (chance * 1103515245 + 12345) & 0x7FFFFFFF
                away = abs(now_span[i] - middle) / lengths.shape[0]
                if away * 6.0 > ((chance >> 8) % 1024) / 1024.0:
                    continue
            out[picked] = i
            picked += 1
        loose[:] = 0
        kept[:] = used
        before = 0.0
        wanted = 0
        for j in range(picked):
            i = out[j]
            for k in range(n_kinds):
                loose[k] += now[i, k]
                wanted += now[i, k]
            kept[now_place[i]] -= lengths[now_span[i]]
            before += rates[now_place[i]] * lengths[now_span[i]]
        for w in range(n_widths):
            before += overflow * max(0.0, used[w] - room[w])
        if new.shape[0] < wanted:
            new = np.zeros((wanted, n_kinds), np.int64)
            new_span = np.zeros(wanted, np.int64)
            new_place = np.zeros(wanted, np.int64)
        for k in range(n_kinds):
            if loose[k] > 0:
                chance = (chance * 1103515245 + 12345) & 0x7FFFFFFF
                shaken[k] = worth[k] * (1.0 + noise * ((chance >> 8) % 1024) / 1024.0)
        n_new = 0
        cost = 0.0
        while True:
            tall = -1
            for k in range(n_kinds):
                if loose[k] > 0 and (tall < 0 or first_span[k] > first_span[tall]):
                    tall = k
            if tall < 0:
                break
            span = first_span[tall]
            own = across[tall, span]
            capacity = top - own
            n_rows = 0
            rows[0, : capacity + 1] = 0.0
            loose[tall] -= 1
            for k in range(n_kinds):
                wide = across[k, span]
                if loose[k] <= 0 or wide <= 0 or wide > capacity:
                    continue
                left = min(loose[k], capacity // wide)
                lot = 1
                while left > 0:
                    lot = min(lot, left)
                    step = lot * wide
                    gain = lot * shaken[k]
                    n_rows += 1
                    row_kind[n_rows] = k
                    row_lot[n_rows] = lot
                    for reach in range(min(step, capacity + 1)):
                        rows[n_rows, reach] = rows[n_rows - 1, reach]
                    for reach in range(step, capacity + 1):
                        rows[n_rows, reach] = max(rows[n_rows - 1, reach], rows[n_rows - 1, reach - step] + gain)
                    left -= lot
                    lot *= 2
            steps += n_rows * (capacity + 1)
            place = -1
            score = 0.0
            for w in range(n_widths):
                if widths[w] < own or not fits[span, w]:
                    continue
                price = rates[w] * lengths[span]
                price += overflow * max(0.0, lengths[span] - max(0.0, room[w] - kept[w]))
                chance = (chance * 1103515245 + 12345) & 0x7FFFFFFF
                here = (shaken[tall] + rows[n_rows, widths[w] - own]) / max(price, 1e-12)
                here *= 1.0 + 0.5 * noise * ((chance >> 8) % 1024) / 1024.0
                if place < 0 or here > score:
                    place = w
                    score = here
            if place < 0:
                break
            new[n_new] = 0
            new[n_new, tall] = 1
            reach = widths[place] - own
            for row in range(n_rows, 0, -1):
                if rows[row, reach] > rows[row - 1, reach]:
                    new[n_new, row_kind[row]] += row_lot[row]
                    loose[row_kind[row]] -= row_lot[row]
                    reach -= row_lot[row] * across[row_kind[row], span]
            new_span[n_new] = span
            new_place[n_new] = place
            kept[place] += lengths[span]
            cost += rates[place] * lengths[span]
            n_new += 1
        if tall >= 0:
            continue
        for w in range(n_widths):
            cost += overflow * max(0.0, kept[w] - room[w])
        chance = (chance * 1103515245 + 12345) & 0x7FFFFFFF
        luck = (1.0 + (chance >> 8) % 65536) / 65537.0
        if cost > before - warm * math.log(luck):
            continue
        if cost > before and value < least - 1e-9 * abs(least):
            least = value
            best = now[:n_now].copy()
            best_span = now_span[:n_now].copy()
            best_place = now_place[:n_now].copy()
        value += cost - before
        used[:] = kept
        while picked > n_new:
            # A gap is filled from the end.
            gap = 0
            for j in range(picked):
                gap = max(gap, out[j])
            for j in range(picked):
                if out[j] == gap:
                    out[j] = out[picked - 1]
                    break
            picked -= 1
            n_now -= 1
            now[gap] = now[n_now]
            now_span[gap] = now_span[n_now]
            now_place[gap] = now_place[n_now]
        for j in range(n_new):
            i = out[j] if j < picked else n_now
            if j >= picked:
                n_now += 1
            now[i] = new[j]
            now_span[i] = new_span[j]
            now_place[i] = new_place[j]
    if value < least - 1e-9 * abs(least):
        least = value
        best = now[:n_now].copy()
        best_span = now_span[:n_now].copy()
        best_place = now_place[:n_now].copy()
    return best, best_span, best_place, least, steps


RECREATED = Kernel(_recreated)


class Recreating:
    """Crosscuts of two stages taken apart and built anew.

    Parameters
    ----------
    weights
        Worth of a unit of length on each place.
    room
        Length there is on each place, or None for no limit; beyond it a unit counts ``OVERFLOW`` times.
    values
        Worth of a blank of each kind, in weighted length, shape (n_kinds,).
    places
        Width number of each place, never falling; each width is one place if None. Crosscuts
        come and go as (crosscut, place number, copies).

    Examples
    --------
    Four blanks 3 x 5 and four 3 x 4, each cut on its own from a roll 6 wide, take 36 of length; two by two 18:

    >>> from random import Random
    >>> from solver.limits import Limits
    >>> from solver.rolls.demand import ordered_demand
    >>> from solver.rolls.model import Blank, RollNesting, RollWidth
    >>> blanks = (Blank(across=3, along=5, count=4), Blank(across=3, along=4, count=4))
    >>> problem = RollNesting(blanks=blanks, rolls=(RollWidth(width=6, length=None, cost=1),))
    >>> pricing = CrosscutPricing(ordered_demand(problem), Effort(Limits()))
    >>> alone = [(pricing.made(np.array([lay]), np.array([1])), 0, 4) for lay in (0, 1)]
    >>> search = Recreating(pricing, Effort(Limits()), Random(1), np.ones(1), None, np.array([4.0, 5.0]))
    >>> sum(crosscut.length * copies for crosscut, _, copies in search.improved(alone, 50, 0.0))
    18
    """

    def __init__(
        self,
        pricing: CrosscutPricing,
        effort: Effort,
        chance: Random,
        weights: Floats,
        room: Sequence[int] | None,
        values: Floats,
        places: Sequence[int] | None = None,
    ) -> None:
        demand = pricing.demand
        self._pricing, self._effort, self._chance = pricing, effort, chance
        self._weights = np.asarray(weights, dtype=np.float64)
        self._room = np.array([NO_END] * len(weights) if room is None else room, dtype=np.float64)
        self._overflow = OVERFLOW * float(self._weights.max())
        # Where there is a limit, what counts is what goes beyond it.
        self._unit = float(self._weights.max() if room is None else self._overflow) * float(demand.lengths[-1])
        where = np.arange(len(demand.widths)) if places is None else np.array(places, dtype=np.int64)
        self._widths, self._fits = demand.widths[where], np.ascontiguousarray(demand.fits()[:, where])
        self._values = np.maximum(values, 1e-6 * float(values.max(initial=1.0)))
        self._across = np.zeros((len(demand.counts), len(demand.lengths)), np.int64)
        self._first = np.full(len(demand.counts), len(demand.lengths), np.int64)
        np.minimum.at(self._first, demand.lay_kind, demand.start)
        self._lay = np.zeros_like(self._across)
        for lay, kind in enumerate(demand.lay_kind.tolist()):
            self._across[kind, demand.start[lay] : demand.stop[lay]] = demand.lay_across[lay]
            self._lay[kind, demand.start[lay] : demand.stop[lay]] = lay

    @staticmethod
    def suits(pricing: CrosscutPricing, chosen: Chosen) -> bool:
        """Whether the loop is quick for such crosscuts: two stages, no unit too fine, neither few nor too many."""
        blanks = int(pricing.demand.counts.sum())
        crosscuts = sum(copies for _, _, copies in chosen)
        return (
            pricing.exact
            and blanks > FEW_BLANKS
            and crosscuts <= MOST_CROSSCUTS
            and int(pricing.demand.widths[-1]) <= DENSE_UP_TO
        )

    def searched(self, chosen: Chosen, calls: int) -> Iterator[Chosen]:
        """Yield the best crosscuts after each of so many calls; ends early where nothing is gained for long."""
        idle = 0
        for call in range(calls):
            if idle >= max(IDLE, calls // 3) or self._effort.over():
                return
            found = self.improved(chosen, ROUNDS, HEATS[call % len(HEATS)])
            before, after = self.value(chosen), self.value(found)
            idle = 0 if after < before * (1 - 1e-9) else idle + 1
            chosen = found if after <= before else chosen
            yield chosen

    def improved(self, chosen: Chosen, rounds: int, heat: float) -> Chosen:
        """Return crosscuts for the same blanks after some rounds, never of more weighted length and overflow.

        ``heat`` is how much dearer, in longest crosscuts (beyond the room if there is a limit),
        the crosscuts may become for a while.
        """
        demand = self._pricing.demand
        copies = np.array([count for _, _, count in chosen])
        held = np.zeros((len(chosen), len(demand.counts)), np.int64)
        for number, (crosscut, _, _) in enumerate(chosen):
            for kind, count in crosscut.counts:
                held[number, kind] = count
        run = RECREATED.compiled if int(demand.counts.sum()) > FEW_BLANKS else RECREATED.plain
        found, spans, places, _, steps = run(
            self._across,
            self._first,
            demand.lengths,
            self._fits,
            self._widths,
            self._weights,
            self._room,
            self._overflow,
            self._values,
            np.repeat(held, copies, axis=0),
            np.repeat(np.array([crosscut.span for crosscut, _, _ in chosen]), copies),
            np.repeat(np.array([place for _, place, _ in chosen]), copies),
            heat * self._unit,
            rounds,
            self._chance.getrandbits(30),
        )
        self._effort.spend(rounds * 4e-3 + steps * 1e-6)
        tally: Counter[tuple[Crosscut, int]] = Counter()
        for row, span, place in zip(found, spans.tolist(), places.tolist(), strict=True):
            kinds = np.flatnonzero(row)
            tally[self._pricing.made(self._lay[kinds, span], row[kinds]), place] += 1
        return [(crosscut, place, count) for (crosscut, place), count in tally.items()]

    def value(self, chosen: Chosen) -> float:
        """Return the weighted length of crosscuts, with what is beyond the room."""
        length = np.zeros(len(self._room))
        for crosscut, place, copies in chosen:
            length[place] += crosscut.length * copies
        return float(self._weights @ length + self._overflow * np.maximum(0.0, length - self._room).sum())

    def overflow(self, chosen: Chosen) -> float:
        """Return the length beyond the room."""
        length = np.zeros(len(self._room))
        for crosscut, place, copies in chosen:
            length[place] += crosscut.length * copies
        return float(np.maximum(0.0, length - self._room).sum())
