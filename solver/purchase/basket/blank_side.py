"""The blanks of one mesh as a side of a joint purchase."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import ceil, gcd

from solver.errors import ProblemError
from solver.limits import Limits
from solver.parts.blanks import roll_nesting
from solver.parts.offers import RollOffer
from solver.parts.record import BlankPart
from solver.purchase.basket.classes import fewer_blanks
from solver.purchase.basket.model import Cut
from solver.purchase.basket.rack_first import Free, rack_first
from solver.purchase.basket.side import Slot, Solved, Terms, best_case, credited, within_or_beyond
from solver.rolls import nest
from solver.rolls.bounds import Cut as RollCut
from solver.rolls.bounds import cut_from, least_cost
from solver.rolls.crosscuts import CrosscutPricing
from solver.rolls.demand import ordered_demand
from solver.rolls.effort import Effort
from solver.rolls.master import Master
from solver.rolls.model import Blank, NestedRoll, RollWidth
from solver.rolls.slices import slice_cut
from solver.sticks.effort import Effort as WorkCount

WHOLE_SUMS = (1 << 22, 1 << 44)
"""Cuts are scaled to this need, rooms rounded up, so that they are whole numbers: small ones where these suffice."""

FINE_SUM = 1 << 30
"""The same for the first cut, which everything later rests on."""

MOST_SIZES = 1_024
"""Blank sizes from which cuts are found on classes of sizes."""

FIRST_SHARE = 0.15
"""Share of the limits that the first cut may use."""


@dataclass(frozen=True, kw_only=True, slots=True)
class CutBlanks:
    """Nested rolls, and what each of their roll numbers and blank numbers stands for."""

    offers: tuple[RollOffer, ...]
    rolls: tuple[NestedRoll, ...]
    blanks: tuple[Blank, ...]


class BlankSide:
    """Blanks with their slots: rolls on the rack, mesh of kits, and loose rolls or running length on sale."""

    def __init__(self, part: BlankPart, slots: Sequence[Slot[RollOffer]], count: WorkCount) -> None:
        self.part = part
        self.slots = tuple(slots)
        one_each = [_roll(slot.offer, cost=1, limit=None) for slot in slots]
        self.problem = roll_nesting(part, one_each)
        # What holds the blanks holds smaller ones too, so cuts for classes rounded down hold for the blanks.
        self._few = fewer_blanks(self.problem.blanks, MOST_SIZES)
        self._demand = ordered_demand(replace(self.problem, blanks=self._few))
        self._count = count
        self._effort = Effort(count.limits)
        self._pricing = CrosscutPricing(self._demand, self._effort)
        self._master = Master(self._pricing, self._effort)

    @property
    def resources(self) -> tuple[int, ...]:
        """The resource behind each slot."""
        return tuple(slot.resource for slot in self.slots)

    def first_cut(self) -> Cut | None:
        """Return the cut that follows from what the blanks are worth in loose mesh alone, if that holds them all."""
        loose = [slot.offer for slot in self.slots if slot.offer.bought and not slot.offer.from_kit]
        if not loose:
            return None
        rolls = [_roll(offer, cost=offer.price or 0, limit=None) for offer in loose]
        try:
            demand = ordered_demand(replace(roll_nesting(self.part, rolls), blanks=self._few))
        except ProblemError:
            return None
        limits = self._count.limits
        share = replace(limits, work=int(limits.work * FIRST_SHARE), seconds=limits.seconds * FIRST_SHARE)
        effort = Effort(share)
        master = Master(CrosscutPricing(demand, effort), effort)
        master.buy()
        best: tuple[Fraction, RollCut] | None = None
        columns = -1
        while columns < len(master.columns) and not effort.over():
            columns = len(master.columns)
            if master.generate(10) is None:
                break
            # Both problems have the same blanks, so values of one are values of the other.
            table = self._master.pricing.best_values(master.values, self._demand.counts)
            cut = cut_from(self._demand, master.values, table, compiled=self._master.pricing.compiled)
            alone = cut_from(demand, master.values, master.table, compiled=master.pricing.compiled)
            cost = least_cost(alone, demand.offers) or Fraction(0)
            if best is None or cost > best[0]:
                best = (cost, cut)
        self._count.spend(effort.work)
        return None if best is None or not best[1].need else self._whole(best[1], FINE_SUM)

    def _whole(self, cut: RollCut, need: int) -> Cut:
        """Return a cut in whole numbers, scaled to ``need``, rooms rounded up."""
        factor = Fraction(need, cut.need)
        rooms = [ceil(min(held, Fraction(cut.need)) * factor) for held in cut.room]
        pairs = zip(self._demand.offers, rooms, strict=True)
        return Cut(room=tuple((self.slots[o.number].resource, held) for o, held in pairs if held), need=need)

    def shortfall(self, amounts: Sequence[int]) -> Cut | None:
        """Return what rules these rolls out by what the blanks are worth, or None."""
        room = [0.0] * len(self._demand.widths)
        for offer in self._demand.offers:
            room[offer.width] += offer.length * amounts[offer.number]
        self._master.fix_rolls(room, self._master.weights * 0)
        before = self._effort.work
        # What crosscuts of one blank a strip can hold says nothing of three stages; slices hold for both.
        two = self.problem.stages == 2
        found = self._master.generate(300) if two else slice_cut(self._pricing, self._effort)
        self._count.spend(self._effort.work - before)
        if found is None or not found.need:
            return None
        there = {slot.resource: amount for slot, amount in zip(self.slots, amounts, strict=True)}
        for whole in WHOLE_SUMS:
            cut = self._whole(found, whole)
            if sum(held * there[resource] for resource, held in cut.room) < cut.need:
                return cut
        return None

    def solved(self, terms: Terms, missing_cost: int, limits: Limits) -> Solved:
        """Return the best nesting with ``terms.free`` rolls for nothing."""
        cases = list(within_or_beyond([slot.least for slot in self.slots], terms.sold))
        share = replace(limits, work=max(1, limits.work // len(cases)))
        return best_case([self._case(terms, beyond, missing_cost, share) for beyond in cases])

    def _case(self, terms: Terms, beyond: Mapping[int, bool], missing_cost: int, limits: Limits) -> Solved:
        blanks = sum(blank.count for blank in self.problem.blanks)
        rolls: list[RollWidth] = []
        places: list[int] = []
        free_rolls: list[Free] = []
        unit = gcd(*(slot.offer.price or 0 for slot in self.slots)) or 1
        for place, (slot, free, sold) in enumerate(zip(self.slots, terms.free, terms.sold, strict=True)):
            offer = slot.offer
            within = slot.least if sold and not beyond.get(place, False) else None
            there = free + (within.count if within is not None else 0)
            if there and offer.length is None:
                rolls.append(RollWidth(width=offer.usable, length=there * (offer.step or 1), cost=0, limit=1))
                places.append(place)
            elif there:
                most = min(there, blanks)
                size = (offer.width, offer.usable, offer.length)
                free_rolls.append(Free(stock=len(rolls), alike=size, bought=offer.bought, limit=most))
                rolls.append(_roll(offer, cost=0, limit=most))
                places.append(place)
            if sold and beyond.get(place, True):
                limit = offer.limit
                if limit is not None and within is not None:
                    limit = max(0, limit - within.count)
                rolls.append(_roll(offer, cost=(offer.price or 0) // unit, limit=limit))
                places.append(place)
        rolls.append(self._missing(-(-missing_cost // unit)))
        plan = nest(roll_nesting(self.part, rolls), limits)
        instead = rack_first([(roll.roll, roll.copies) for roll in plan.rolls], free_rolls)
        nested = tuple(
            replace(roll, roll=number, copies=copies)
            for roll, shares in zip(plan.rolls, instead, strict=True)
            for number, copies in shares
        )
        used = self._used(nested, places)
        solved = Solved(
            cost=plan.cost * unit,
            bound=plan.bound * unit,
            used=used,
            complete=all(roll.roll < len(places) for roll in nested),
            ending=plan.ending,
            work=plan.work,
            answer=CutBlanks(
                offers=tuple(self.slots[place].offer for place in places),
                rolls=nested,
                blanks=self.problem.blanks,
            ),
        )
        leasts = {p: least for p, more in beyond.items() if more and (least := self.slots[p].least) is not None}
        return credited(solved, leasts, {p: used[p] * (self.slots[p].offer.price or 0) for p in leasts})

    def _missing(self, cost: int) -> RollWidth:
        """Return a roll that does not exist and holds any one blank."""
        longest = max(slot.offer.length or 0 for slot in self.slots)
        open_end = max(max(blank.across, blank.along) for blank in self.problem.blanks)
        length = max(longest, open_end + self.problem.crosscut_extra)
        return RollWidth(width=max(slot.offer.usable for slot in self.slots), length=length, cost=cost)

    def _used(self, rolls: Sequence[NestedRoll], places: Sequence[int]) -> tuple[int, ...]:
        """Return rolls used of each slot; of running length the started steps."""
        used = [0] * len(self.slots)
        running = [0] * len(self.slots)
        for roll in rolls:
            if roll.roll >= len(places):
                continue
            place = places[roll.roll]
            if self.slots[place].offer.length is not None:
                used[place] += roll.copies
            else:
                lengths = sum(cut.copies * (cut.length + self.problem.crosscut_extra) for cut in roll.crosscuts)
                running[place] += roll.copies * lengths
        for place, length in enumerate(running):
            used[place] += -(-length // (self.slots[place].offer.step or 1))
        return tuple(used)


def _roll(offer: RollOffer, *, cost: int, limit: int | None) -> RollWidth:
    return RollWidth(width=offer.usable, length=offer.length, cost=cost, step=offer.step or 1, limit=limit)
