"""Whether given sticks hold all rails: a packing, a proof that none exists, or neither."""

from __future__ import annotations

import random
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import Enum
from typing import Any

import numpy as np

from solver.sticks.bound import TOTAL_BITS, whole_gains
from solver.sticks.buying import Cut, Vector
from solver.sticks.closing import Closing
from solver.sticks.dive import Diver, joined
from solver.sticks.effort import Effort
from solver.sticks.enumeration import columns_within
from solver.sticks.filling import Filler, Filling, Whole
from solver.sticks.first_fit import topped_up
from solver.sticks.grid import Column, Grid, Packing
from solver.sticks.master import Master, Prices
from solver.sticks.neighbourhood import cut_part
from solver.sticks.patterns import Generator
from solver.sticks.tree import Tree


class Verdict(Enum):
    """What is known about a purchase vector."""

    PACKED = "packed"
    TOO_SMALL = "no packing exists by what the rails are worth"
    NO_PACKING = "no packing exists by exhaustion"
    OPEN = "neither a packing nor a proof was found"


@dataclass(frozen=True, slots=True)
class Finding:
    """The verdict, with the packing or with the cut that rules the vector out."""

    verdict: Verdict
    packing: Packing | None = None
    cut: Cut | None = None
    columns: frozenset[Column] = frozenset()


class Packer:
    """Packs purchase vectors of one problem."""

    CUT_BITS = 24
    REPAIRS = 12
    AVERAGED = 20

    def __init__(self, grid: Grid, filler: Filler, generator: Generator, effort: Effort, seed: int) -> None:
        self.grid = grid
        self.filler = filler
        self.generator = generator
        self.effort = effort
        self.seed = seed
        self.demand = np.array(grid.demand, np.int64)

    def pack(self, vector: Vector, pool: Iterable[Column], *, dives: int, columns: int, work: float) -> Finding:
        """Decide one purchase vector.

        Parameters
        ----------
        vector
            Sticks of each size.
        pool
            Patterns to start from.
        dives
            How many dives to try.
        columns
            The most patterns to list for a proof by exhaustion.
        work
            Units of work for that proof.
        """
        master = self._scaled(vector, pool)
        for _ in range(10_000):
            prices = master.solve()
            if prices is None or self.effort.over():
                return Finding(Verdict.OPEN, columns=frozenset(master.columns))
            scale = 1 << (TOTAL_BITS - 2)
            # The worth of one rail is at most one whole covering; scale so that a stick stays in range.
            gains = whole_gains(prices.rails, scale)
            filling = self.filler.fill(gains, self.demand)
            need = int(gains @ self.demand)
            room = sum(value * count for value, count in zip(filling.values, vector, strict=True))
            if room < need:
                return Finding(Verdict.TOO_SMALL, cut=self._cut(vector, gains), columns=frozenset(master.columns))
            added = self._price(master, vector, prices, gains, filling, scale)
            if not added:
                break
        known = set(master.columns)
        packed = self._dives(vector, gains, filling.values, known, dives)
        if packed is not None:
            return Finding(Verdict.PACKED, packing=packed, columns=frozenset(known))
        if columns and not self.effort.over():
            return self._exhaust(vector, gains, columns, work, known)
        return Finding(Verdict.OPEN, columns=frozenset(known))

    def _price(self, master: Master, vector: Vector, prices: Prices, gains: Whole, filling: Filling, scale: int) -> int:
        """Add the patterns that are worth more than their sticks; return how many."""
        added = 0
        copies = self.demand.copy()
        for repeat in range(self.generator.repeats):
            if repeat:
                filling = self.filler.fill(gains, copies)
            fresh = 0
            for s, pattern in enumerate(filling.patterns):
                value = sum(int(gains[i]) * times for i, times in pattern)
                if pattern and vector[s] and value > prices.sizes[s] * scale * (1 + 1e-9) + 64:
                    capacity = self.grid.sizes[s].capacity
                    fresh += master.add((s, topped_up(self.grid.weights, self.grid.demand, capacity, pattern)))
                    for i, _ in pattern:
                        copies[i] = 0
            if not fresh:
                break
            added += fresh
        return added

    def _scaled(self, vector: Vector, pool: Iterable[Column]) -> Master:
        master = Master(
            weights=self.grid.weights,
            demand=self.grid.demand,
            costs=[0] * len(vector),
            limits=list(vector),
            effort=self.effort,
            scaled=True,
        )
        for column in pool:
            if vector[column[0]]:
                master.add(column)
        return master

    def _cut(self, vector: Vector, gains: Whole) -> Cut | None:
        """Return the cut in numbers small enough to be multiplied by stick counts without harm."""
        top = max(1, int(gains.max()))
        for shift in (max(0, top.bit_length() - self.CUT_BITS), max(0, top.bit_length() - 34)):
            small = gains >> shift
            filling = self.filler.fill(small, self.demand)
            need = int(small @ self.demand)
            if sum(value * count for value, count in zip(filling.values, vector, strict=True)) < need:
                return Cut(worth=tuple(filling.values), need=need)
        return None

    def _dives(
        self, vector: Vector, gains: Whole, values: Sequence[int], known: set[Column], dives: int
    ) -> Packing | None:
        shift = max(0, max(values).bit_length() - 20)
        costs = [max(1, -(-value >> shift) * -1 if value < 0 else (value >> shift) + 1) for value in values]
        most = sum(cost * count for cost, count in zip(costs, vector, strict=True))
        penalty = 10.0 * max(costs) / max(1, self.grid.weights[-1])
        diver = Diver(
            self.grid,
            self.generator,
            self.effort,
            costs=costs,
            limits=list(vector),
            penalty=penalty,
            finish=self._finish if sum(self.grid.demand) > 3 * Diver.FEW_RAILS else None,
        )
        for attempt in range(dives):
            chance = random.Random(self.seed * 1_000 + attempt) if attempt else None
            found, seen = diver.dive(self.grid.demand, sorted(known), below=most + 1, chance=chance)
            known |= {column for column in seen if vector[column[0]]}
            if found is not None:
                return found
            if self.effort.over():
                break
        return None

    def _finish(self, fixed: Packing, left: list[int], limits: list[int | None]) -> Packing | None:
        """Pack the last rails of a dive; where they do not fit, take some sticks apart again."""
        chance = random.Random(self.seed)
        columns = sorted(fixed)
        for attempt in range(self.REPAIRS):
            apart: Packing = {}
            for column in chance.choices(columns, k=6 + attempt) if attempt and columns else []:
                if apart.get(column, 0) < fixed[column]:
                    apart[column] = apart.get(column, 0) + 1
            wanted, stock, rest = list(left), list(limits), dict(fixed)
            for (s, pattern), copies in apart.items():
                for i, times in pattern:
                    wanted[i] += times * copies
                limit = stock[s]
                if limit is not None:
                    stock[s] = limit + copies
                rest[s, pattern] -= copies
            packed = cut_part(self.grid, wanted, stock, None, self._pack_part)
            if packed is not None:
                return joined({column: copies for column, copies in rest.items() if copies}, packed)
            if self.effort.over():
                break
        return None

    def _pack_part(self, part: Grid, start: Packing | None) -> Packing | None:
        del start
        effort = self.effort.portion(400)
        filler = Filler(part, effort)
        packer = Packer(part, filler, Generator(part, filler, effort), effort, self.seed)
        vector = tuple(size.limit or 0 for size in part.sizes)
        return packer.pack(vector, (), dives=1, columns=3_000, work=200).packing

    def _exhaust(self, vector: Vector, gains: Whole, columns: int, work: float, known: set[Column]) -> Finding:
        """Decide on every pattern that a packing can contain, if there are few enough."""
        gains = self._averaged(vector, gains, known)
        filling = self.filler.fill(gains, self.demand)
        need = int(gains @ self.demand)
        slack = sum(value * count for value, count in zip(filling.values, vector, strict=True)) - need
        if slack < 0:
            return Finding(Verdict.TOO_SMALL, cut=self._cut(vector, gains), columns=frozenset(known))
        least = [value - slack if count else None for value, count in zip(filling.values, vector, strict=True)]
        listed = columns_within(self.grid, self.grid.demand, gains, least, self.effort, most=columns)
        if listed is None:
            return self._branched(vector, known, work)
        # A rail worth more than the slack cannot be cut once too often.
        equal = [int(gain) > slack for gain in gains]
        packing, decided = Closing(self.grid, vector, listed, equal, self.effort).decide(work)
        if packing is None and not decided and not self.effort.over():
            packing, decided = exact_cover(self.grid, vector, listed, self.effort, self.seed, work)
        if packing is not None:
            return Finding(Verdict.PACKED, packing=packing, columns=frozenset(known))
        verdict = Verdict.NO_PACKING if decided else Verdict.OPEN
        return Finding(verdict, columns=frozenset(known))

    def _branched(self, vector: Vector, known: set[Column], work: float) -> Finding:
        """Decide with cuts and branches where there are too many patterns to list."""
        found = Tree(self.grid, vector, self._scaled(vector, sorted(known)), self.effort).decide(work)
        if found.packing is not None:
            return Finding(Verdict.PACKED, packing=found.packing, columns=frozenset(known))
        verdict = Verdict.NO_PACKING if found.decided else Verdict.OPEN
        return Finding(verdict, cut=found.cut, columns=frozenset(known))

    def _averaged(self, vector: Vector, gains: Whole, known: set[Column]) -> Whole:
        """Return the mean of several optimal worths: it leaves the fewest patterns without loss.

        Each is optimal for a demand changed by less than a thousandth; those
        that are not optimal for the real demand as well are left out.
        """
        total, good = gains.astype(np.float64) / max(1.0, float(gains @ self.demand)), 1
        chance = random.Random(self.seed)
        master = self._scaled(vector, sorted(known))
        scale = 1 << (TOTAL_BITS - 2)
        # What the worth at hand leaves over is the measure for the others.
        room = sum(v * n for v, n in zip(self.filler.fill(gains, self.demand).values, vector, strict=True))
        allowed = room / max(1, int(gains @ self.demand)) + 1e-6
        for _ in range(self.AVERAGED):
            master.stretch([count * (1 + chance.uniform(-1e-4, 1e-4)) for count in self.grid.demand])
            for _ in range(12):
                prices = master.solve()
                if prices is None or self.effort.over():
                    break
                other = whole_gains(prices.rails, scale)
                filling = self.filler.fill(other, self.demand)
                need = int(other @ self.demand)
                room = sum(value * count for value, count in zip(filling.values, vector, strict=True))
                if room <= need * allowed:
                    total = total + other.astype(np.float64) / need
                    good += 1
                    break
                if not self._price(master, vector, prices, other, filling, scale):
                    break
        return np.floor(total / good * scale).astype(np.int64)


def exact_cover(
    grid: Grid, vector: Vector, columns: Sequence[Column], effort: Effort, seed: int, work: float
) -> tuple[Packing | None, bool]:
    """Return a packing of ``vector`` by ``columns``, and whether the question was decided."""
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    rows: list[list[Any]] = [[] for _ in grid.demand]
    sticks: list[list[Any]] = [[] for _ in grid.sizes]
    amounts: list[Any] = []
    for s, pattern in columns:
        most = min([vector[s], *(-(-grid.demand[i] // times) for i, times in pattern)])
        amount = model.new_int_var(0, most, "")
        amounts.append(amount)
        sticks[s].append(amount)
        for i, times in pattern:
            rows[i].append(times * amount)
    for row, count in zip(rows, grid.demand, strict=True):
        if not row:
            return None, True
        model.add(sum(row) >= count)
    for s, row in enumerate(sticks):
        if row:
            model.add(sum(row) <= vector[s])
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = seed
    solver.parameters.linearization_level = 2
    solver.parameters.max_deterministic_time = max(0.01, min(work, effort.work_left) / 1000)
    solver.parameters.max_time_in_seconds = max(0.01, effort.seconds_left)
    status = solver.solve(model)
    effort.spend(2 + 1000 * solver.deterministic_time)
    if status in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return {column: n for column, amount in zip(columns, amounts, strict=True) if (n := solver.value(amount))}, True
    return None, status == cp_model.INFEASIBLE
