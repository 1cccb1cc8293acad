"""The rails of one profile and colour as a side of a joint purchase."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from math import gcd

import numpy as np

from solver.limits import Limits
from solver.parts.offers import StickOffer
from solver.parts.rails import cutting_stock, stick_ties
from solver.parts.record import RailPart
from solver.purchase.basket.classes import fewer_rails
from solver.purchase.basket.model import Cut
from solver.purchase.basket.rack_first import Free, rack_first
from solver.purchase.basket.side import Slot, Solved, Terms, best_case, credited, within_or_beyond
from solver.purchase.quantity import cheapest_quantity
from solver.sticks import cut
from solver.sticks.effort import Effort
from solver.sticks.filling import Filler
from solver.sticks.grid import Column, exact_grid
from solver.sticks.master import Master
from solver.sticks.model import StickPattern, StockLength
from solver.sticks.packing import Packer, Verdict
from solver.sticks.patterns import Generator

MOST_LENGTHS = 1_000
"""Rail lengths from which cuts are found on classes of lengths."""

WORTH_BITS = 24
"""Size of the dearest rail's worth in a cut."""


@dataclass(frozen=True, kw_only=True, slots=True)
class CutRails:
    """Patterns, and what each of their stock numbers and rail numbers stands for."""

    offers: tuple[StickOffer, ...]
    patterns: tuple[StickPattern, ...]
    lengths: tuple[int, ...]


class RailSide:
    """Rails with their slots: sticks on the rack, of kits, and loose ones on sale."""

    def __init__(self, part: RailPart, slots: Sequence[Slot[StickOffer]], effort: Effort) -> None:
        self.part = part
        self.slots = tuple(slots)
        one_each = [StockLength(length=slot.offer.usable, cost=1) for slot in slots]
        self.problem = cutting_stock(part, one_each)
        # What holds the rails holds shorter ones too, so cuts for classes rounded down hold for the rails.
        self._grid = exact_grid(fewer_rails(self.problem, MOST_LENGTHS))
        self._effort = effort
        self._filler = filler = Filler(self._grid, effort)
        generator = Generator(self._grid, filler, effort)
        self._packer = Packer(self._grid, filler, generator, effort, effort.limits.seed)
        self._known: set[Column] = set()

    @property
    def resources(self) -> tuple[int, ...]:
        """The resource behind each slot."""
        return tuple(slot.resource for slot in self.slots)

    def first_cut(self) -> Cut | None:
        """Return the cut that follows from what the rails are worth in loose sticks alone, if these hold all rails."""
        loose = [slot.offer for slot in self.slots if slot.offer.bought and not slot.offer.from_kit]
        longest = max((offer.usable for offer in loose), default=0)
        if longest < max(self.problem.lengths):
            return None
        stock = [StockLength(length=offer.usable, cost=offer.price or 0, bundle=offer.bundle) for offer in loose]
        grid = exact_grid(fewer_rails(cutting_stock(self.part, stock), MOST_LENGTHS))
        filler = Filler(grid, self._effort)
        costs, limits = [size.cost for size in grid.sizes], [size.limit for size in grid.sizes]
        master = Master(
            weights=grid.weights,
            demand=grid.demand,
            costs=costs,
            limits=limits,
            effort=self._effort,
            penalty=10.0 * max(costs) / grid.weights[-1] + 1.0,
        )
        generator = Generator(grid, filler, self._effort)
        gains = generator.run(master, costs=costs, limits=limits, demand=grid.demand).gains
        gains = gains >> max(0, int(gains.max()).bit_length() - WORTH_BITS)
        demand = np.array(grid.demand, np.int64)
        return self._cut(self._filler.fill(gains, demand).values, int(gains @ demand))

    def _cut(self, worth: Sequence[int], need: int) -> Cut | None:
        if not need:
            return None
        # A stick that holds everything alone says no more than one that just does.
        room = tuple(
            (self.slots[slot].resource, min(held, need))
            for size, held in zip(self._grid.sizes, worth, strict=True)
            for slot in size.members
            if held
        )
        return Cut(room=room, need=need)

    def shortfall(self, amounts: Sequence[int]) -> Cut | None:
        """Return what rules these sticks out by what the rails are worth, or None."""
        vector = tuple(sum(amounts[slot] for slot in size.members) for size in self._grid.sizes)
        finding = self._packer.pack(vector, sorted(self._known), dives=0, columns=0, work=0)
        self._known |= finding.columns
        if finding.verdict is not Verdict.TOO_SMALL or finding.cut is None:
            return None
        return self._cut(finding.cut.worth, finding.cut.need)

    def solved(self, terms: Terms, missing_cost: int, limits: Limits) -> Solved:
        """Return the best cutting plan with ``terms.free`` sticks for nothing."""
        cases = list(within_or_beyond([slot.least for slot in self.slots], terms.sold))
        share = replace(limits, work=max(1, limits.work // len(cases)))
        return best_case([self._case(terms, beyond, missing_cost, share) for beyond in cases])

    def _case(self, terms: Terms, beyond: Mapping[int, bool], missing_cost: int, limits: Limits) -> Solved:
        rails = sum(self.problem.counts)
        stock: list[StockLength] = []
        places: list[int] = []
        free_stock: list[Free] = []
        unit = gcd(*(price for slot in self.slots for price in _prices(slot.offer))) or 1
        for place, (slot, free, sold) in enumerate(zip(self.slots, terms.free, terms.sold, strict=True)):
            offer = slot.offer
            within = slot.least if sold and not beyond.get(place, False) else None
            there = free + (within.count if within is not None else 0)
            if there:
                limit = min(there, rails)
                free_stock.append(
                    Free(stock=len(stock), alike=(offer.length, offer.usable), bought=offer.bought, limit=limit)
                )
                stock.append(StockLength(length=offer.usable, cost=0, limit=limit))
                places.append(place)
            if sold and beyond.get(place, True):
                most = offer.limit
                if most is not None and within is not None:
                    most = max(0, most - within.count)
                bundle = None if offer.bundle is None else (offer.bundle[0], offer.bundle[1] // unit)
                stock.append(
                    StockLength(length=offer.usable, cost=(offer.price or 0) // unit, limit=most, bundle=bundle)
                )
                places.append(place)
        longest = max(slot.offer.usable for slot in self.slots)
        stock.append(StockLength(length=longest, cost=-(-missing_cost // unit)))
        plan = cut(cutting_stock(self.part, stock), limits, stick_ties(self.part.rules))
        instead = rack_first([(pattern.stock, pattern.copies) for pattern in plan.patterns], free_stock)
        patterns = tuple(
            replace(pattern, stock=number, copies=copies)
            for pattern, shares in zip(plan.patterns, instead, strict=True)
            for number, copies in shares
        )
        used = [0] * len(self.slots)
        for pattern in patterns:
            if pattern.stock < len(places):
                used[places[pattern.stock]] += pattern.copies
        solved = Solved(
            cost=plan.cost * unit,
            bound=plan.bound * unit,
            used=tuple(used),
            complete=all(pattern.stock < len(places) for pattern in patterns),
            ending=plan.ending,
            work=plan.work,
            answer=CutRails(
                offers=tuple(self.slots[place].offer for place in places),
                patterns=patterns,
                lengths=self.problem.lengths,
            ),
        )
        leasts = {p: least for p, more in beyond.items() if more and (least := self.slots[p].least) is not None}
        return credited(solved, leasts, {place: self._full_price(place, used[place]) for place in leasts})

    def _full_price(self, place: int, count: int) -> int:
        offer = self.slots[place].offer
        return cheapest_quantity(count, price=offer.price or 0, bundle=offer.bundle, limit=offer.limit).cost


def _prices(offer: StickOffer) -> tuple[int, ...]:
    return (offer.price or 0, offer.bundle[1]) if offer.bundle is not None else (offer.price or 0,)
