"""Better fillings of given rolls by emptying a few rolls and filling them anew with what was left out."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from random import Random

import numpy as np

from solver.rolls.bounds import densities
from solver.rolls.crosscuts import Crosscut, CrosscutPricing
from solver.rolls.decide import CrosscutModel
from solver.rolls.demand import Demand, Whole
from solver.rolls.effort import Effort
from solver.rolls.filled import Filled, FilledRoll
from solver.rolls.listing import crosscuts_within

MOST_LISTED = 700


class RollNeighbourhood:
    """Rolls with their crosscuts, and the blanks that found no room yet.

    Parameters
    ----------
    filled
        Rolls filled so far.
    missing
        Blanks of each kind that are not on them, shape (n_kinds,).
    bought
        How many rolls of each offer there are.
    values
        Whole-number dual values of the kinds, shape (n_kinds,).
    """

    def __init__(
        self,
        pricing: CrosscutPricing,
        effort: Effort,
        chance: Random,
        *,
        filled: Sequence[FilledRoll],
        missing: Whole,
        bought: Sequence[int],
        values: Whole,
    ) -> None:
        self._pricing, self._effort, self._chance = pricing, effort, chance
        demand = pricing.demand
        self._values = values
        self._density = densities(demand, pricing.best_values(values, demand.counts))
        shortest = np.full(len(demand.counts), np.iinfo(np.int64).max)
        np.minimum.at(shortest, demand.lay_kind, demand.lay_across * demand.lay_along)
        # Worth by area, in whole numbers small enough for the model.
        self._worth = np.maximum(1, shortest * 10_000 // int(shortest.max()))
        self.rolls = [
            FilledRoll(offer=r.offer, crosscuts=r.crosscuts, copies=1)
            for r in filled
            for _ in range(1 if demand.offers[r.offer].running else r.copies)
        ]
        for number, count in enumerate(bought):
            if demand.offers[number].running:
                continue
            used = sum(roll.offer == number for roll in self.rolls)
            self.rolls += [FilledRoll(offer=number, crosscuts=(), copies=1)] * (count - used)
        self.missing = missing.copy()

    @property
    def plan(self) -> Filled:
        """The rolls that hold something."""
        return tuple(roll for roll in self.rolls if roll.crosscuts)

    def missing_worth(self) -> int:
        """Return the worth of the blanks without room."""
        return int((self.missing * self._worth).sum())

    def improve(self, size: int) -> bool:
        """Empty ``size`` rolls and fill them anew; True if less is left out than before."""
        demand = self._pricing.demand
        whole = [n for n, roll in enumerate(self.rolls) if not demand.offers[roll.offer].running]
        losses = [self._loss(self.rolls[n]) for n in whole]
        picked: set[int] = set()
        while len(picked) < min(size, len(whole)):
            picked.add(self._chance.choices(whole, [1e-3 + loss for loss in losses])[0])
        bought = [0] * len(demand.offers)
        wanted = self.missing.copy()
        for n in picked:
            bought[self.rolls[n].offer] += 1
            wanted += contents(self.rolls[n], len(demand.counts))
        listed = self._listed(wanted, sorted({demand.offers[self.rolls[n].offer].width for n in picked}))
        if not listed or self._effort.over():
            return False
        now = self.missing_worth()
        model = CrosscutModel(self._pricing, self._effort, listed, wanted)
        decision = model.least_missing(bought, self._worth, now + self._chance.randrange(2), 0.3)
        if decision.filled is None:
            return False
        self.rolls = [roll for n, roll in enumerate(self.rolls) if n not in picked]
        for roll in decision.filled:
            bought[roll.offer] -= 1
            wanted -= contents(roll, len(demand.counts))
            self.rolls.append(roll)
        for number, count in enumerate(bought):
            self.rolls += [FilledRoll(offer=number, crosscuts=(), copies=1)] * count
        self.missing = wanted
        return self.missing_worth() < now

    def _loss(self, roll: FilledRoll) -> float:
        """Return the share of a roll's possible value that it does not hold."""
        offer = self._pricing.demand.offers[roll.offer]
        most = float(self._density[offer.width]) * offer.length
        held = sum(int(self._values[k]) * c * n for crosscut, n in roll.crosscuts for k, c in crosscut.counts)
        return max(0.0, 1 - held / most) if most else 0.0

    def _listed(self, wanted: Whole, widths: list[int]) -> list[tuple[Crosscut, int]]:
        """Return the crosscuts that lose the least, as many as the model bears."""
        demand: Demand = self._pricing.demand
        share = Fraction(1, 2)
        for _ in range(8):
            slack = [Fraction(-1)] * len(demand.widths)
            for width in widths:
                slack[width] = self._density[width] * int(demand.lengths[-1]) * share
            listed = crosscuts_within(
                self._pricing, self._effort, self._values, wanted, self._density, slack, MOST_LISTED
            )
            if listed is not None:
                return listed
            if self._effort.over():
                return []
            share /= 2
        return []


def contents(roll: FilledRoll, n_kinds: int) -> Whole:
    """Return the blanks of each kind on one roll."""
    held = np.zeros(n_kinds, np.int64)
    for crosscut, copies in roll.crosscuts:
        for kind, count in crosscut.counts:
            held[kind] += count * copies
    return held
