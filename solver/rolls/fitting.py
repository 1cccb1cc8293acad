"""A plan for given rolls: dive into them, and search around what does not quite fit."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

import numpy as np

from solver.rolls.crosscuts import Crosscut
from solver.rolls.demand import Whole
from solver.rolls.dive import dive
from solver.rolls.filled import FilledRoll, fill_rolls
from solver.rolls.master import Floats
from solver.rolls.neighbourhood import Neighbourhood
from solver.rolls.recreate import WORTH_COMPILING, Recreating
from solver.rolls.roll_dive import roll_dive
from solver.rolls.roll_master import RollMaster
from solver.rolls.roll_neighbourhood import RollNeighbourhood
from solver.rolls.standing import Standing
from solver.rolls.trimming import Chosen

FEW_CROSSCUTS = 9
"""A roll that holds fewer crosscuts than this is short: what is lost at its end matters."""

MOST_SINGLE = 24
"""Short rolls of one offer up to which each is looked at on its own."""

MANY_BLANKS = 1_000
"""Blanks above which the dives themselves fit as well."""

LEAST_WEIGHT = 0.1
"""Worth of a unit of length where there is plenty, against 1 where it is scarcest."""


class Fitting:
    """Measures purchases and fits the blanks on them."""

    def __init__(self, standing: Standing) -> None:
        self._standing = standing
        self._roll_master: RollMaster | None = None
        demand = standing.demand
        usual = float(np.average(demand.lengths[demand.start], weights=demand.counts[demand.lay_kind]))
        self._short = [not o.running and o.length < FEW_CROSSCUTS * usual for o in demand.offers]

    def ruled_out(self, bought: Sequence[int]) -> bool:
        """Measure a purchase exactly; True if it is proven not to suffice. The cuts learnt are kept either way."""
        standing = self._standing
        standing.master.measure([float(length) for length in self.room_of(bought)])
        cut = standing.master.generate(300)
        if cut is not None:
            standing.purchases.add(cut)
        if standing.purchases.allowed(bought) and self._mostly_short(bought):
            master = self._rolls()
            master.limit(bought, free=True)
            cut = master.generate(100)
            if cut is not None:
                standing.purchases.add(cut)
        return not standing.purchases.allowed(bought)

    def room_of(self, bought: Sequence[int]) -> list[int]:
        """Return the length a purchase gives on each width."""
        room = [0] * len(self._standing.demand.widths)
        for offer, count in zip(self._standing.demand.offers, bought, strict=True):
            room[offer.width] += offer.length * count
        return room

    def fit(self, bought: Sequence[int], *, dives: int, rounds: int) -> bool:
        """Try to cut everything from the rolls bought and keep the plan; True if it fits.

        The purchase must just have been measured (``ruled_out``), for what a
        unit of length is worth on each width.

        Parameters
        ----------
        dives
            How many dives are tried.
        rounds
            Attempts of the neighbourhood searches after the best dive.
        """
        standing = self._standing
        room = self.room_of(bought)
        # Where there is no roll a price says nothing but that nothing may be put there.
        prices = np.where(np.array(room) > 0, standing.master.prices, 0.0)
        weights = np.maximum(prices / max(float(prices.max()), 1e-9), LEAST_WEIGHT)
        values = standing.master.duals * standing.master.scale / max(float(prices.max()), 1e-9)
        best: tuple[float, Chosen] | None = None
        for attempt in range(dives):
            standing.master.fix_rolls([float(length) for length in room], weights)
            found = dive(
                standing.master,
                standing.effort,
                standing.chance,
                room=[float(length) for length in room],
                noise=0.3 if attempt else 0.0,
            )
            if found is None:
                return False
            filled, over = fill_rolls(standing.demand, found, bought)
            if not over:
                standing.keep(filled)
                return True
            worth = _area(over)
            if best is None or worth < best[0]:
                best = (worth, found)
        if best is None or standing.effort.over():
            return False
        if self._mostly_short(bought):
            return self._fit_short(bought, dives, rounds)
        again = self._recreated(best[1], bought, room, weights, values, 2 * dives + 4 * rounds)
        if again is None:
            return True
        return self._searched(again, bought, room, weights, rounds)

    def _recreated(
        self, chosen: Chosen, bought: Sequence[int], room: list[int], weights: Floats, values: Floats, calls: int
    ) -> Chosen | None:
        """Take crosscuts apart and build them anew until they fit; None if they do and the plan is kept."""
        standing = self._standing
        many = int(standing.demand.counts.sum()) > MANY_BLANKS
        if many or not Recreating.suits(standing.pricing, chosen) or standing.effort.work < WORTH_COMPILING:
            return chosen
        demand = standing.demand
        # Short rolls are a place each, what is lost at their ends matters; others of an offer are joined to one.
        spots: list[tuple[int, int]] = []
        for n in sorted((n for n, count in enumerate(bought) if count), key=lambda n: (demand.offers[n].width, n)):
            single = self._short[n] and bought[n] <= MOST_SINGLE
            spots += [(n, 1)] * bought[n] if single else [(n, bought[n])]
        places = [demand.offers[n].width for n, _ in spots]
        joined = [demand.offers[n].length * rolls for n, rolls in spots]
        search = Recreating(standing.pricing, standing.effort, standing.chance, weights[places], joined, values, places)
        put = self._on_places(chosen, bought, spots)
        for found in search.searched(put, calls):
            tally: Counter[tuple[Crosscut, int]] = Counter()
            for crosscut, place, copies in found:
                tally[crosscut, places[place]] += copies
            chosen = [(crosscut, width, copies) for (crosscut, width), copies in tally.items()]
            if search.overflow(found) > 0:
                continue
            filled: list[FilledRoll] = []
            over = []
            for place, (offer, rolls) in enumerate(spots):
                alone = [rolls if n == offer else 0 for n in range(len(bought))]
                here, left = fill_rolls(demand, [(c, places[p], n) for c, p, n in found if p == place], alone)
                filled += here
                over += left
            if over:
                plan, over = fill_rolls(demand, chosen, bought)
                filled = list(plan)
            if not over:
                standing.keep(tuple(filled))
                return None
        return chosen

    def _on_places(self, chosen: Chosen, bought: Sequence[int], spots: Sequence[tuple[int, int]]) -> Chosen:
        """Put crosscuts on the rolls bought; what finds no room goes to the last place, which is the widest."""
        filled, over = fill_rolls(self._standing.demand, chosen, bought)
        free = {offer: [n for n, spot in enumerate(spots) if spot[0] == offer] for offer, _ in spots}
        put = []
        for roll in filled:
            for _ in range(roll.copies):
                here = free[roll.offer]
                place = here.pop(0) if len(here) > 1 else here[0]
                put += [(crosscut, place, copies) for crosscut, copies in roll.crosscuts]
        return put + [(crosscut, len(spots) - 1, copies) for crosscut, copies in over]

    def _searched(
        self,
        chosen: Chosen,
        bought: Sequence[int],
        room: list[int],
        weights: Floats,
        rounds: int,
    ) -> bool:
        """Search around a dive until it fits: first by length alone, then roll by roll."""
        standing = self._standing
        if not rounds:
            return False
        search = Neighbourhood(standing.master, standing.effort, standing.chance, weights, room)
        for _ in range(rounds):
            if search.overflow(chosen) == 0 or standing.effort.over():
                break
            chosen = search.improved(chosen) or chosen
        filled, over = fill_rolls(standing.demand, chosen, bought)
        if not over:
            standing.keep(filled)
            return True
        if self._mostly_short(bought):
            return False
        return self._refilled(filled, self._blanks_of(over), bought, standing.master.values, rounds)

    def refit(self, chosen: Chosen, bought: Sequence[int], rounds: int) -> bool:
        """Put crosscuts that fit the rolls' length joined on the single rolls, emptying and refilling some."""
        filled, over = fill_rolls(self._standing.demand, chosen, bought)
        return self._refilled(filled, self._blanks_of(over), bought, self._standing.master.values, rounds)

    def _blanks_of(self, over: Sequence[tuple[Crosscut, int]]) -> Whole:
        missing = np.zeros(len(self._standing.demand.counts), np.int64)
        for crosscut, copies in over:
            for kind, count in crosscut.counts:
                missing[kind] += count * copies
        return missing

    def _fit_short(self, bought: Sequence[int], dives: int, rounds: int) -> bool:
        standing, master = self._standing, self._rolls()
        master.limit(bought, free=True)
        best: tuple[int, list[FilledRoll], Whole] | None = None
        for attempt in range(dives):
            found = roll_dive(master, standing.effort, standing.chance, bought=bought, noise=0.3 if attempt else 0.0)
            if found is None:
                return False
            filled, missing = found
            if not missing.any():
                standing.keep(tuple(filled))
                return True
            if best is None or int(missing.sum()) < best[0]:
                best = (int(missing.sum()), filled, missing)
        if best is None or not rounds:
            return False
        master.limit(None)
        master.generate(20)
        return self._refilled(best[1], best[2], bought, master.values, rounds)

    def _refilled(
        self, filled: Sequence[FilledRoll], missing: Whole, bought: Sequence[int], values: Whole, rounds: int
    ) -> bool:
        """Empty and refill rolls until nothing is missing."""
        standing = self._standing
        search = RollNeighbourhood(
            standing.pricing,
            standing.effort,
            standing.chance,
            filled=filled,
            missing=missing,
            bought=bought,
            values=values,
        )
        for _ in range(rounds):
            if standing.effort.over():
                return False
            search.improve(standing.chance.randint(2, 4))
            if not search.missing.any():
                standing.keep(search.plan)
                return True
        return False

    def _mostly_short(self, bought: Sequence[int]) -> bool:
        length = [o.length * n for o, n in zip(self._standing.demand.offers, bought, strict=True)]
        if any(o.running and n for o, n in zip(self._standing.demand.offers, bought, strict=True)):
            return False
        return 3 * sum(n for n, short in zip(length, self._short, strict=True) if short) > sum(length)

    def _rolls(self) -> RollMaster:
        if self._roll_master is None:
            self._roll_master = RollMaster(self._standing.pricing, self._standing.effort)
            self._roll_master.generate(300)
        return self._roll_master


def _area(over: Sequence[tuple[Crosscut, int]]) -> float:
    return float(sum(crosscut.length * crosscut.width * copies for crosscut, copies in over))
