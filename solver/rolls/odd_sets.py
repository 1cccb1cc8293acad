"""Sets of kinds with odd demand: what they prove over listed crosscuts, and which crosscuts that leaves."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray
from ortools.linear_solver import pywraplp

from solver.kernel import Kernel
from solver.rolls.bounds import whole_values
from solver.rolls.crosscuts import Crosscut
from solver.rolls.demand import Demand, Whole
from solver.rolls.effort import Effort
from solver.rolls.glop import glop_solved
from solver.rolls.master import Floats

LARGEST_SET = 15
EVERY_PAIR = 130
"""Kinds up to which every pair of them starts a set."""
MOST_ADDED = 60
ROUNDS = 40
IDLE = 3
TRIES = 4
"""Searches with chance once the plain one finds nothing."""
STEPS = 40_000_000
"""Inner steps of one search for sets, at most."""

Mask: TypeAlias = NDArray[np.bool_]
Judged: TypeAlias = Callable[[Whole, Mask, int], Mask | None]


@dataclass(frozen=True, slots=True)
class Supply:
    """Length that can be had: ``rooms`` on each width for ``cost``, at most ``limit`` times, without end if None."""

    cost: float
    rooms: tuple[float, ...]
    limit: float | None


def _odd_sets(
    odd: Whole,
    of_row: Whole,
    row_start: Whole,
    use: Floats,
    surplus: Floats,
    pairs: Whole,
    liking: Floats,
    largest: int,
    most_steps: int,
) -> Whole:
    """Return the broken sets found, as rows of 0 and 1, shape (n_sets, n_kinds).

    A set is grown from each pair by the kind that leaves the least use of
    crosscuts with an odd number of the set's blanks, and is broken where that use
    and the surplus are below 1 in all while its demand is odd.

    ``of_row[row_start[k]:row_start[k + 1]]`` are the crosscuts with an odd number
    of kind k, ``odd[k]`` is 1 where the demand is odd; ``liking`` weighs the kinds to grow by.
    """
    n = odd.shape[0]
    found = np.zeros((pairs.shape[0] * 2 + n, n), np.uint8)
    weight = np.zeros(found.shape[0])
    size = 0
    steps = 0
    apart = np.zeros(use.shape[0], np.uint8)
    inside = np.zeros(n, np.uint8)
    for start in range(pairs.shape[0]):
        apart[:] = 0
        inside[:] = 0
        total = 0.0
        parity = 0
        members = 0
        grow = pairs[start, 0]
        second = pairs[start, 1]
        while grow >= 0:
            inside[grow] = 1
            members += 1
            parity ^= odd[grow]
            total += surplus[grow]
            for place in range(row_start[grow], row_start[grow + 1]):
                c = of_row[place]
                if apart[c]:
                    total -= use[c]
                    apart[c] = 0
                else:
                    total += use[c]
                    apart[c] = 1
            steps += row_start[grow + 1] - row_start[grow]
            if parity == 1 and total < 1.0 - 0.01:
                if size < found.shape[0]:
                    found[size] = inside
                    weight[size] = total
                    size += 1
                break
            if members == 1 and second != grow:
                grow = second
                continue
            if members >= largest or steps > most_steps:
                break
            best = -1
            least = 1e9
            closing = -1
            least_closing = 1e9
            for k in range(n):
                if inside[k]:
                    continue
                after = total + surplus[k]
                for place in range(row_start[k], row_start[k + 1]):
                    c = of_row[place]
                    if apart[c]:
                        after -= use[c]
                    else:
                        after += use[c]
                if after * liking[k] < least:
                    least = after * liking[k]
                    best = k
                if parity ^ odd[k] == 1 and after < least_closing:
                    least_closing = after
                    closing = k
            steps += of_row.shape[0] + n
            grow = closing if least_closing < 1.0 - 0.01 else best
        if steps > most_steps:
            break
    order = np.argsort(weight[:size])
    return found[:size][order].astype(np.int64)


ODD_SETS = Kernel(_odd_sets)


class OddSets:
    """The linear programme over a complete list of crosscuts, with the rows that sets of kinds with odd demand give.

    Whole numbers of crosscuts that hold the demand d of a set S of kinds, together
    odd, satisfy ``sum(ceil(a(S) / 2) x) >= (d(S) + 1) / 2``, where a(S) is how many
    blanks of the set a crosscut holds: half the sum of the kinds' rows, rounded up.

    Parameters
    ----------
    columns
        Crosscuts as (crosscut, width number); a plan in question may use these alone.
    supplies
        Where the length comes from, for the least cost that the programme seeks.

    References
    ----------
    Caprara, Fischetti, {0, 1/2}-Chvatal-Gomory cuts, Mathematical Programming 74 (1996).
    """

    def __init__(
        self,
        columns: Sequence[tuple[Crosscut, int]],
        demand: Whole,
        n_widths: int,
        supplies: Sequence[Supply],
        effort: Effort,
        *,
        compiled: bool,
    ) -> None:
        self._effort, self._demand, self._compiled = effort, demand, compiled
        self.held = np.zeros((len(columns), len(demand)), np.int64)
        for number, (crosscut, _) in enumerate(columns):
            for kind, count in crosscut.counts:
                self.held[number, kind] = count
        self._chance = np.random.default_rng(effort.seed)
        self.sets = np.zeros((0, len(demand)), np.int64)
        self.kept = np.ones(len(columns), np.bool_)
        self._length = np.array([crosscut.length for crosscut, _ in columns], dtype=np.int64)
        self._build([width for _, width in columns], n_widths, supplies)

    @property
    def needs(self) -> Whole:
        """What each set asks for, shape (n_sets,)."""
        return np.asarray((self.sets @ self._demand + 1) // 2)

    def shares(self, sets: Whole | None = None) -> Whole:
        """Return what each crosscut gives to each set, shape (n_columns, n_sets)."""
        return np.asarray((self.held @ (self.sets if sets is None else sets).T + 1) // 2)

    def tightened(self, judged: Judged) -> bool:
        """Add sets while they prove something; False if it is proven that no plan uses these crosscuts alone.

        ``judged`` gets each crosscut's whole-number value, each crosscut still
        taking part, and the need in all, and returns which of them a plan may
        still use, None if there is no plan. It must not rest on anything but them.
        """
        idle = 0
        last = -np.inf
        for turn in range(ROUNDS):
            if self._effort.over() or not glop_solved(self._solver, self._effort):
                return True
            # All is read before the programme is changed.
            use = np.array([variable.solution_value() for variable in self._copies])
            duals = np.array([row.dual_value() for row in [*self._cover, *self._rows]])
            value = self._solver.Objective().Value()
            if turn:
                values = whole_values(duals)
                if not values.any():
                    return True
                rows = np.concatenate([self.held, self._given], axis=1)
                need = sum(
                    int(v) * int(d) for v, d in zip(values, np.concatenate([self._demand, self.needs]), strict=True)
                )
                verdict = judged(rows @ values, self.kept, need)
                if verdict is None:
                    return False
                self._leave_out(verdict)
            idle = idle + 1 if value < last * (1 + 2e-5) else 0
            last = max(last, value)
            if idle >= IDLE or not (self._grown(use, 0.0) or any(self._grown(use, 0.3) for _ in range(TRIES))):
                return True
        return True

    def _build(self, widths: Sequence[int], n_widths: int, supplies: Sequence[Supply]) -> None:
        self._solver = solver = pywraplp.Solver.CreateSolver("GLOP")
        infinity = solver.infinity()
        solver.Objective().SetMinimization()
        scale = float(max(1, self._length.max(initial=1)))
        self._cover = [solver.Constraint(float(d), infinity) for d in self._demand]
        self._rows: list[pywraplp.Constraint] = []
        self._given = np.zeros((len(self._length), 0), np.int64)
        rooms = [solver.Constraint(-infinity, 0.0) for _ in range(n_widths)]
        for supply in supplies:
            taken = solver.NumVar(0.0, infinity if supply.limit is None else supply.limit, "")
            solver.Objective().SetCoefficient(taken, supply.cost)
            for row, room in zip(rooms, supply.rooms, strict=True):
                if room:
                    row.SetCoefficient(taken, -room / scale)
        self._copies = [solver.NumVar(0.0, infinity, "") for _ in self._length]
        for number, (copies, width) in enumerate(zip(self._copies, widths, strict=True)):
            for kind in np.flatnonzero(self.held[number]).tolist():
                self._cover[kind].SetCoefficient(copies, float(self.held[number, kind]))
            rooms[width].SetCoefficient(copies, float(self._length[number]) / scale)

    def _leave_out(self, kept: Mask) -> None:
        for number in np.flatnonzero(self.kept & ~kept).tolist():
            self._copies[number].SetUb(0.0)
        self.kept = self.kept & kept

    def _grown(self, use: Floats, noise: float) -> bool:
        """Add the sets that the solution breaks the most; False if none is found."""
        sets = self._broken(use, 1.0 + noise * self._chance.uniform(-1.0, 1.0, len(self._demand)))
        known = {tuple(row) for row in self.sets.tolist()}
        fresh = [row for row in sets.tolist() if tuple(row) not in known][:MOST_ADDED]
        if not fresh:
            return False
        added = np.array(fresh, dtype=np.int64)
        given = self.shares(added)
        self.sets = np.concatenate([self.sets, added])
        self._given = np.concatenate([self._given, given], axis=1)
        infinity = self._solver.infinity()
        for number, need in enumerate(((added @ self._demand + 1) // 2).tolist()):
            row = self._solver.Constraint(float(need), infinity)
            for column in np.flatnonzero((given[:, number] > 0) & self.kept).tolist():
                row.SetCoefficient(self._copies[column], float(given[column, number]))
            self._rows.append(row)
        return True

    def _broken(self, use: Floats, liking: Floats) -> Whole:
        used = np.flatnonzero(use > 1e-7)
        held, weight = self.held[used], use[used]
        surplus = np.maximum(0.0, weight @ held - self._demand)
        broken = np.abs(weight - np.rint(weight)) > 1e-5
        kinds = np.flatnonzero((held[broken] > 0).any(axis=0))
        kind, crosscut = np.nonzero(held.T % 2)
        row_start = np.searchsorted(kind, np.arange(len(self._demand) + 1))
        if len(kinds) <= EVERY_PAIR:
            pairs = [(a, b) for a in kinds.tolist() for b in kinds.tolist() if a <= b]
        else:
            both = {
                (a, b)
                for row in held[broken]
                for a in np.flatnonzero(row).tolist()
                for b in np.flatnonzero(row).tolist()
                if a <= b
            }
            pairs = sorted(both)
        run = ODD_SETS.compiled if self._compiled else ODD_SETS.plain
        self._effort.spend(2.0 + len(pairs) * 0.02)
        return run(
            self._demand % 2,
            crosscut.astype(np.int64),
            row_start.astype(np.int64),
            weight,
            surplus,
            np.array(pairs, dtype=np.int64).reshape(-1, 2),
            liking,
            LARGEST_SET,
            STEPS,
        )


def value_table(demand: Demand, columns: Sequence[tuple[Crosscut, int]], values: Whole, kept: Mask) -> Whole:
    """Return the best value of a listed crosscut of each length on each width, shape (n_lengths, n_widths)."""
    table = np.zeros((len(demand.lengths), len(demand.widths)), np.int64)
    for (crosscut, width), value, there in zip(columns, values.tolist(), kept.tolist(), strict=True):
        if there and value > table[crosscut.span, width]:
            table[crosscut.span, width] = value
    return table
