"""An independent complete model of a whole purchase, for small jobs: every pattern and every crosscut is listed.

One CP-SAT model read straight from the job and its screens; it shares nothing
with the planner but the records.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator
from typing import Any

from ortools.sat.python import cp_model

from solver.catalogue import Corner, Hardware
from solver.plan import Screen
from solver.problem import Problem
from solver.rules import Turning


def cheapest_total(problem: Problem, screens: tuple[Screen, ...], seconds: float = 60) -> int | None:
    """Return the least money for everything that has a price, or None if the model is not decided in time."""
    return _Complete(problem, screens).solved(seconds)


class _Complete:
    def __init__(self, problem: Problem, screens: tuple[Screen, ...]) -> None:
        self.problem = problem
        self.screens = screens
        self.model = cp_model.CpModel()
        self.cost: list[Any] = []
        self.sells: dict[str, list[Any]] = defaultdict(list)
        self.pieces = sum(s.quantity * len(s.rails) for s in screens)
        stock = problem.catalogue
        self.kits = {kit.name: self._bought(kit, self.pieces) for kit in stock.kits if kit.on_sale}
        for kit in stock.kits:
            self.kits.setdefault(kit.name, 0)
        self._rails()
        self._blanks()
        self._hardware()
        for supplier in stock.suppliers:
            delivers = self.model.new_bool_var("")
            for bought in self.sells[supplier.name]:
                self.model.add(bought == 0).only_enforce_if(~delivers)
            self.cost.append(supplier.delivery * delivers)

    def _bought(self, offer: Any, most: int, price: int | None = None) -> Any:
        most = max(most, offer.minimum)
        bought = self.model.new_int_var(0, most if offer.limit is None else min(most, offer.limit), "")
        if offer.minimum > 1:
            some = self.model.new_bool_var("")
            self.model.add(bought >= offer.minimum).only_enforce_if(some)
            self.model.add(bought == 0).only_enforce_if(~some)
        self.cost.append((offer.price if price is None else price) * bought)
        self.sells[offer.supplier].append(bought)
        return bought

    def _opened(self, kit: Any) -> Any:
        return self.kits[kit.name] + kit.on_hand

    def _sticks_there(self, profile: str, colour: str) -> Iterator[tuple[int, Any]]:
        """Yield usable length and number of every kind of stick."""
        trim = self.problem.rules.end_trim
        for stick in self.problem.catalogue.sticks:
            if (stick.profile, stick.colour) != (profile, colour):
                continue
            there: Any = stick.on_hand
            if stick.on_sale:
                if stick.bundle is None:
                    there = there + self._bought(stick, self.pieces)
                else:
                    singles = self.model.new_int_var(0, self.pieces, "")
                    bundles = self.model.new_int_var(0, self.pieces, "")
                    total = singles + stick.bundle * bundles
                    if stick.limit is not None:
                        self.model.add(total <= stick.limit)
                    if stick.minimum > 1:
                        some = self.model.new_bool_var("")
                        self.model.add(total >= stick.minimum).only_enforce_if(some)
                        self.model.add(total == 0).only_enforce_if(~some)
                    self.cost += [(stick.price or 0) * singles, (stick.bundle_price or 0) * bundles]
                    self.sells[stick.supplier].append(total)
                    there = there + total
            yield stick.length - (1 if stick.leftover else 2) * trim, there
        for kit in self.problem.catalogue.kits:
            if (kit.profile, kit.colour) == (profile, colour):
                for sticks in kit.sticks:
                    yield sticks.length - 2 * trim, sticks.count * self._opened(kit)

    def _rails(self) -> None:
        groups: dict[tuple[str, str], Counter[int]] = defaultdict(Counter)
        for screen in self.screens:
            for rail in screen.rails:
                groups[screen.profile, screen.colour][rail.length] += screen.quantity
        for (profile, colour), wanted in groups.items():
            corner = next(p.corner for p in self.problem.catalogue.profiles if p.name == profile)
            assert corner is Corner.SQUARE
            kerf = self.problem.rules.kerf
            lengths = sorted(wanted, reverse=True)
            cut: dict[int, list[Any]] = defaultdict(list)
            for usable, there in self._sticks_there(profile, colour):
                used: list[Any] = []
                for pattern in _patterns([n + kerf for n in lengths], [wanted[n] for n in lengths], usable + kerf):
                    copies = self.model.new_int_var(0, self.pieces, "")
                    used.append(copies)
                    for length, count in zip(lengths, pattern, strict=True):
                        if count:
                            cut[length].append(count * copies)
                self.model.add(sum(used) <= there)
            for length in lengths:
                self.model.add(sum(cut[length]) >= wanted[length])

    def _blanks(self) -> None:
        groups: dict[str, Counter[tuple[int, int]]] = defaultdict(Counter)
        for screen in self.screens:
            groups[screen.mesh][screen.blank_width, screen.blank_height] += screen.quantity
        turning = {mesh.name: mesh.turning is Turning.FREE for mesh in self.problem.catalogue.meshes}
        for mesh, wanted in groups.items():
            self._mesh(mesh, wanted, turns=turning[mesh])

    def _mesh(self, mesh: str, wanted: Counter[tuple[int, int]], *, turns: bool) -> None:
        cut: dict[tuple[int, int], list[Any]] = defaultdict(list)
        blanks = wanted.total()
        rules = self.problem.rules
        for roll in self.problem.catalogue.rolls:
            if roll.mesh != mesh:
                continue
            width = roll.width - 2 * rules.selvage_trim
            if roll.length is None:
                longest = sum(max(size) * count for size, count in wanted.items()) + blanks * rules.crosscut_extra
                steps = self._bought(roll, -(-longest // (roll.step or 1)))
                self._crosscuts(width, (roll.step or 1) * steps, wanted, cut, turns=turns)
                continue
            bought = self._bought(roll, blanks) if roll.on_sale else 0
            self._pieces(width, roll.length, roll.on_hand + bought, wanted, cut, turns=turns)
        for kit in self.problem.catalogue.kits:
            if kit.mesh is not None and kit.mesh.mesh == mesh:
                width = kit.mesh.width - 2 * rules.selvage_trim
                there = kit.mesh.count * self._opened(kit)
                self._pieces(width, kit.mesh.length, there, wanted, cut, turns=turns)
        for size, count in wanted.items():
            self.model.add(sum(cut[size]) >= count)

    def _pieces(
        self,
        width: int,
        length: int,
        there: Any,
        wanted: Counter[tuple[int, int]],
        cut: dict[tuple[int, int], list[Any]],
        *,
        turns: bool,
    ) -> None:
        """Cut up to as many equal rolls as there are blanks, each on its own, the fullest first."""
        used: list[Any] = []
        for _ in range(wanted.total()):
            taken = self.model.new_bool_var("")
            self._crosscuts(width, length * taken, wanted, cut, turns=turns)
            if used:
                self.model.add(used[-1] >= taken)
            used.append(taken)
        self.model.add(sum(used) <= there)

    def _crosscuts(
        self,
        width: int,
        length: Any,
        wanted: Counter[tuple[int, int]],
        cut: dict[tuple[int, int], list[Any]],
        *,
        turns: bool,
    ) -> None:
        lays = [(across, along, (across, along)) for across, along in wanted]
        if turns:
            lays += [(along, across, (across, along)) for across, along in wanted if across != along]
        rules = self.problem.rules
        lays = [lay for lay in lays if not 0 < rules.longest_crosscut < lay[1]]
        spent = []
        # A crosscut is full of blanks no longer than itself: one that is longer would take more of the roll.
        for along in sorted({lay[1] for lay in lays}):
            within = [lay for lay in lays if lay[1] <= along]
            for pattern in _patterns([lay[0] for lay in within], [wanted[lay[2]] for lay in within], width):
                held = [(lay, count) for lay, count in zip(within, pattern, strict=True) if count]
                if max((lay[1] for lay, _ in held), default=0) < along:
                    continue
                copies = self.model.new_int_var(0, wanted.total(), "")
                spent.append((along + rules.crosscut_extra) * copies)
                for lay, count in held:
                    cut[lay[2]].append(count * copies)
        self.model.add(sum(spent) <= length)

    def _hardware(self) -> None:
        needs: dict[Hardware, Counter[str]] = defaultdict(Counter)
        for screen in self.screens:
            for need in screen.needs:
                needs[need.hardware][need.fits] += need.amount * screen.quantity
        for hardware, wanted in needs.items():
            packs = [pack for pack in self.problem.catalogue.packs if pack.hardware is hardware]
            there: dict[str, Any] = defaultdict(int)
            for pack in packs:
                bought = self._bought(pack, -(-wanted.total() // pack.size)) if pack.on_sale else 0
                there[pack.fits] = there[pack.fits] + pack.on_hand + pack.size * bought
            for kit in self.problem.catalogue.kits:
                for content in kit.hardware:
                    if content.hardware is hardware:
                        there[content.fits] = there[content.fits] + content.amount * self._opened(kit)
            rest = []
            for fits, amount in wanted.items():
                if any(pack.fits in ("", fits) for pack in packs):
                    spares = -(-amount * self.problem.rules.hardware_spares // 1_000)
                    other = self.model.new_int_var(0, amount + spares, "")
                    self.model.add((there[fits] if fits else 0) + other >= amount + spares)
                    rest.append(other)
            if rest:
                self.model.add(there[""] >= sum(rest))

    def solved(self, seconds: float) -> int | None:
        self.model.minimize(sum(self.cost))
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 2
        solver.parameters.max_time_in_seconds = seconds
        return int(solver.objective_value) if solver.solve(self.model) == cp_model.OPTIMAL else None


def _patterns(sizes: list[int], most: list[int], room: int) -> Iterator[tuple[int, ...]]:
    """Yield every choice of pieces that fits a room and takes no further piece."""

    def from_place(place: int, left: int) -> Iterator[tuple[int, ...]]:
        if place == len(sizes):
            yield ()
            return
        for count in range(min(most[place], left // sizes[place]) + 1):
            for tail in from_place(place + 1, left - count * sizes[place]):
                yield (count, *tail)

    for pattern in from_place(0, room):
        left = room - sum(count * size for count, size in zip(pattern, sizes, strict=True))
        full = all(count == top or size > left for count, top, size in zip(pattern, most, sizes, strict=True))
        if full:
            yield pattern
