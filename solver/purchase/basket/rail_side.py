"""The rails of one profile and colour as a side of a joint purchase."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import gcd

from solver.lengths import Ticks
from solver.limits import Limits
from solver.parts.offers import StickOffer
from solver.parts.rails import cutting_stock
from solver.parts.record import RailPart
from solver.purchase.basket.model import Cut, Growth
from solver.purchase.basket.side import Solved, Terms
from solver.sticks import cut
from solver.sticks.effort import Effort
from solver.sticks.filling import Filler
from solver.sticks.grid import Column, exact_grid
from solver.sticks.model import StickPattern, StockLength
from solver.sticks.packing import Packer, Verdict
from solver.sticks.patterns import Generator


@dataclass(frozen=True, kw_only=True, slots=True)
class CutRails:
    """Patterns, and what each of their stock numbers stands for."""

    offers: tuple[StickOffer, ...]
    patterns: tuple[StickPattern, ...]


class RailSide:
    """Rails with their slots: sticks on the rack, of kits, and loose ones on sale.

    A slot of loose stock has a price; ``prepaid`` of it come with the least
    number that is sold.
    """

    def __init__(
        self,
        part: RailPart,
        slots: Sequence[StickOffer],
        resources: Sequence[int],
        prepaid: Sequence[int],
        effort: Effort,
    ) -> None:
        self.part = part
        self.slots = tuple(slots)
        self.resources = tuple(resources)
        self._prepaid = tuple(prepaid)
        self._effort = effort
        one_each = [StockLength(length=slot.usable, cost=1) for slot in slots]
        self.problem = cutting_stock(part, one_each)
        self._grid = exact_grid(self.problem)
        filler = Filler(self._grid, effort)
        generator = Generator(self._grid, filler, effort)
        self._packer = Packer(self._grid, filler, generator, effort, effort.limits.seed)
        self._known: set[Column] = set()

    def shortfall(self, amounts: Sequence[int]) -> Cut | Growth | None:
        """Return what rules these sticks out by what the rails are worth, or None."""
        vector = tuple(sum(amounts[slot] for slot in size.members) for size in self._grid.sizes)
        finding = self._packer.pack(vector, sorted(self._known), dives=0, columns=0, work=0)
        self._known |= finding.columns
        if finding.verdict is not Verdict.TOO_SMALL:
            return None
        if finding.cut is None:
            return self._growth(vector)
        need = finding.cut.need
        # A stick that holds everything alone says no more than one that just does.
        room = tuple(
            (self.resources[slot], min(worth, need))
            for size, worth in zip(self._grid.sizes, finding.cut.worth, strict=True)
            for slot in size.members
            if worth
        )
        return Cut(room=room, need=need)

    def _growth(self, vector: Sequence[int]) -> Growth:
        """Sizes run longest first: sticks at least as long must become more somewhere."""
        sums = []
        longer: list[int] = []
        there = 0
        for size, count in zip(self._grid.sizes, vector, strict=True):
            longer += [self.resources[slot] for slot in size.members]
            there += count
            sums.append((tuple(longer), there + 1))
        return Growth(sums=tuple(sums))

    def solved(self, terms: Terms, missing_cost: int, limits: Limits) -> Solved:
        """Return the best cutting plan with ``terms.free`` sticks for nothing."""
        rails = sum(self.problem.counts)
        prices = [slot.price or 0 for slot, sold in zip(self.slots, terms.sold, strict=True) if sold]
        prices += [slot.bundle[1] for slot, sold in zip(self.slots, terms.sold, strict=True) if sold and slot.bundle]
        unit = gcd(*prices) or 1
        missing = -(-missing_cost // unit)
        stock: list[StockLength] = []
        places: list[int] = []
        for place, (slot, free, sold) in enumerate(zip(self.slots, terms.free, terms.sold, strict=True)):
            if free:
                stock.append(StockLength(length=slot.usable, cost=0, limit=min(free, rails)))
                places.append(place)
            if sold:
                limit = None if slot.limit is None else max(0, slot.limit - self._prepaid[place])
                bundle = None if slot.bundle is None else (slot.bundle[0], slot.bundle[1] // unit)
                stock.append(
                    StockLength(length=slot.usable, cost=(slot.price or 0) // unit, limit=limit, bundle=bundle)
                )
                places.append(place)
        longest = max(slot.usable for slot in self.slots)
        stock.append(StockLength(length=longest, cost=missing))
        plan = cut(cutting_stock(self.part, stock), limits)
        used = [0] * len(self.slots)
        for pattern in plan.patterns:
            if pattern.stock < len(places):
                used[places[pattern.stock]] += pattern.copies
        complete = all(pattern.stock < len(places) for pattern in plan.patterns)
        return Solved(
            cost=plan.cost * unit,
            bound=plan.bound * unit,
            used=tuple(used),
            complete=complete,
            ending=plan.ending,
            work=plan.work,
            answer=CutRails(offers=tuple(self.slots[place] for place in places), patterns=plan.patterns),
        )

    @property
    def shortest(self) -> Ticks:
        """The shortest rail."""
        return Ticks(self.problem.lengths[-1])
