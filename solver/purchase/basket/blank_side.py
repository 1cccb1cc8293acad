"""The blanks of one mesh as a side of a joint purchase."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, gcd

from solver.limits import Limits
from solver.parts.blanks import roll_nesting
from solver.parts.offers import RollOffer
from solver.parts.record import BlankPart
from solver.purchase.basket.model import Cut
from solver.purchase.basket.side import Solved, Terms
from solver.rolls import nest
from solver.rolls.crosscuts import CrosscutPricing
from solver.rolls.demand import ordered_demand
from solver.rolls.effort import Effort
from solver.rolls.master import Master
from solver.rolls.model import NestedRoll, RollWidth

WHOLE_SUM = 1 << 44
"""Cuts are scaled to about this need, rooms rounded up, so that they are whole numbers of moderate size."""


@dataclass(frozen=True, kw_only=True, slots=True)
class CutBlanks:
    """Nested rolls, and what each of their roll numbers stands for."""

    offers: tuple[RollOffer, ...]
    rolls: tuple[NestedRoll, ...]


class BlankSide:
    """Blanks with their slots: rolls on the rack, mesh of kits, and loose rolls or running length on sale.

    ``prepaid`` of a slot of loose stock come with the least number that is sold.
    """

    def __init__(
        self,
        part: BlankPart,
        slots: Sequence[RollOffer],
        resources: Sequence[int],
        prepaid: Sequence[int],
        limits: Limits,
    ) -> None:
        self.part = part
        self.slots = tuple(slots)
        self.resources = tuple(resources)
        self._prepaid = tuple(prepaid)
        one_each = [
            RollWidth(width=slot.usable, length=slot.length, cost=1, step=slot.step or 1, limit=None) for slot in slots
        ]
        self.problem = roll_nesting(part, one_each)
        self._demand = ordered_demand(self.problem)
        self.effort = Effort(limits)
        self._master = Master(CrosscutPricing(self._demand, self.effort), self.effort)

    def shortfall(self, amounts: Sequence[int]) -> Cut | None:
        """Return what rules these rolls out by what the blanks are worth, or None."""
        room = [0.0] * len(self._demand.widths)
        for offer in self._demand.offers:
            room[offer.width] += offer.length * amounts[offer.number]
        self._master.fix_rolls(room, self._master.weights * 0)
        found = self._master.generate(300)
        if found is None:
            return None
        there = sum(held * amounts[offer.number] for held, offer in zip(found.room, self._demand.offers, strict=True))
        if there >= found.need:
            return None
        return self._whole(found.room, found.need)

    def _whole(self, room: Sequence[Fraction], need: int) -> Cut:
        factor = Fraction(WHOLE_SUM, max(1, need))
        whole = tuple(
            (self.resources[offer.number], ceil(min(held, Fraction(need)) * factor))
            for held, offer in zip(room, self._demand.offers, strict=True)
            if held
        )
        return Cut(room=whole, need=WHOLE_SUM)

    def solved(self, terms: Terms, missing_cost: int, limits: Limits) -> Solved:
        """Return the best nesting with ``terms.free`` rolls or steps for nothing."""
        blanks = sum(blank.count for blank in self.problem.blanks)
        prices = [slot.price or 0 for slot, sold in zip(self.slots, terms.sold, strict=True) if sold]
        unit = gcd(*prices) or 1
        rolls: list[RollWidth] = []
        places: list[int] = []
        for place, (slot, free, sold) in enumerate(zip(self.slots, terms.free, terms.sold, strict=True)):
            if free:
                rolls.append(RollWidth(width=slot.usable, length=slot.length, cost=0, limit=min(free, blanks)))
                places.append(place)
            if sold:
                limit = None if slot.limit is None else max(0, slot.limit - self._prepaid[place])
                cost = (slot.price or 0) // unit
                rolls.append(
                    RollWidth(width=slot.usable, length=slot.length, cost=cost, step=slot.step or 1, limit=limit)
                )
                places.append(place)
        rolls.append(self._missing(-(-missing_cost // unit)))
        plan = nest(roll_nesting(self.part, rolls), limits)
        return Solved(
            cost=plan.cost * unit,
            bound=plan.bound * unit,
            used=self._used(plan.rolls, places),
            complete=all(roll.roll < len(places) for roll in plan.rolls),
            ending=plan.ending,
            work=plan.work,
            answer=CutBlanks(offers=tuple(self.slots[place] for place in places), rolls=plan.rolls),
        )

    def _missing(self, cost: int) -> RollWidth:
        """Return a roll that does not exist and holds any one blank."""
        longest = max(slot.length or 0 for slot in self.slots)
        open_end = sum(max(blank.across, blank.along) for blank in self.problem.blanks)
        length = max(longest, open_end + self.problem.crosscut_extra)
        return RollWidth(width=max(slot.usable for slot in self.slots), length=length, cost=cost)

    def _used(self, rolls: Sequence[NestedRoll], places: Sequence[int]) -> tuple[int, ...]:
        """Return rolls used of each slot; of running length the started steps."""
        used = [0] * len(self.slots)
        running = [0] * len(self.slots)
        for roll in rolls:
            if roll.roll >= len(places):
                continue
            place = places[roll.roll]
            if self.slots[place].length is not None:
                used[place] += roll.copies
            else:
                lengths = sum(cut.copies * (cut.length + self.problem.crosscut_extra) for cut in roll.crosscuts)
                running[place] += roll.copies * lengths
        for place, length in enumerate(running):
            used[place] += -(-length // (self.slots[place].step or 1))
        return tuple(used)
