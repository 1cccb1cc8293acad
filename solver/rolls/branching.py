"""Branching over listed crosscuts: whole numbers of them that fit, or exact proof that there are none."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray
from ortools.linear_solver import pywraplp

from solver.rolls.crosscuts import Crosscut
from solver.rolls.decide import Verdict
from solver.rolls.demand import Whole
from solver.rolls.effort import Effort
from solver.rolls.glop import glop_solved
from solver.rolls.master import Floats
from solver.rolls.rounding import Known, Sum, rounded_row
from solver.rolls.trimming import Chosen

FINE = 1 << 40
"""Whole-number size of the largest multiplier; sums of a thousand blanks stay far within 64 bits."""
MOST = float(1 << 61)
"""Size up to which sums are trusted to 64 bits."""
LARGEST = float(1 << 20)
"""Greatest price of all the room against the largest multiplier, for sums to stay within 64 bits."""
MISSING = 100.0
"""What a missing blank costs, against 1 for all the room there is: no plan, then, leaves one out."""
SMALL = 1e-6
ROUNDS = 100
"""Times that rounded rows are looked for before branching, at most."""
IDLE = 8
MOST_ROWS = 40
"""Rounded rows added at a time."""
CANDIDATES = 20
"""Numbers among which the next to be split is chosen."""
TRIED = 2.0
"""Times that each half of a number is tried before what was seen is trusted."""


@dataclass(frozen=True, slots=True)
class Ranges:
    """Least and most copies of each crosscut, and of all of one length on one width together."""

    low: Whole
    high: Whole
    group_low: Whole
    group_high: Whole


class Branching:
    """A search tree whose every leaf is refuted in whole numbers, or holds a solution.

    The linear programme asks for the least share of the room that will do. Its
    dual values, rounded to whole numbers, are multipliers of the rows; whatever
    they are, the demand they ask for and the most they allow within the ranges of
    a node are exact, and a node is closed only where the first exceeds the second.
    Branching is first on how many crosscuts of a length a width gets, then on
    single crosscuts.

    Parameters
    ----------
    columns
        Crosscuts as (crosscut, width number); a plan may use these alone.
    demand
        Blanks of each kind to be held, shape (n_kinds,).
    room
        Length there is on each width, shape (n_widths,).

    References
    ----------
    Neumaier, Shcherbina, Safe bounds in linear and mixed-integer linear
    programming, Mathematical Programming 99 (2004).

    Examples
    --------
    Crosscuts of length 4 with two blanks each, for five blanks: 8 units of length are not enough, 12 are.

    >>> from solver.limits import Limits
    >>> column = (Crosscut(length=4, width=8, counts=((0, 2),), span=0), 0)
    >>> Branching([column], np.array([5]), [8], Effort(Limits())).decided(10)
    (<Verdict.REFUTED: 'there is no such plan'>, [])
    >>> verdict, chosen = Branching([column], np.array([5]), [12], Effort(Limits())).decided(10)
    >>> verdict.name, chosen[0][2]
    ('FOUND', 3)
    """

    def __init__(
        self,
        columns: Sequence[tuple[Crosscut, int]],
        demand: Whole,
        room: Sequence[int],
        effort: Effort,
    ) -> None:
        self._columns = columns
        self._effort, self._demand, self._room = effort, demand, np.array(room, dtype=np.int64)
        self._held = np.zeros((len(columns), len(demand)), np.int64)
        for number, (crosscut, _) in enumerate(columns):
            for kind, count in crosscut.counts:
                self._held[number, kind] = count
        self._length = np.array([crosscut.length for crosscut, _ in columns], dtype=np.int64)
        self._width = np.array([width for _, width in columns], dtype=np.int64)
        groups = sorted({(width, crosscut.length) for crosscut, width in columns})
        place = {group: number for number, group in enumerate(groups)}
        self._group = np.array([place[width, crosscut.length] for crosscut, width in columns], dtype=np.int64)
        most = np.array([max(-(-int(demand[k]) // n) for k, n in crosscut.counts) for crosscut, _ in columns])
        fitting = np.array([self._room[width] // length for width, length in groups], dtype=np.int64)
        none = np.zeros(len(groups), np.int64)
        high = np.minimum(most, fitting[self._group])
        self._all = Ranges(np.zeros(len(columns), np.int64), high, none, fitting)
        self._scale = float(max(1, self._room.max(initial=1)))
        self._n_kinds = len(demand)
        self._candidates = CANDIDATES
        self._seen: dict[tuple[int, int, int], list[float]] = {}
        self._most_room = float(self._room.sum() + self._length.max(initial=0))
        self._build()

    def decided(self, nodes: int, *, thorough: bool = True) -> tuple[Verdict, Chosen]:
        """Return crosscuts that fit, or that none do, or that this is open after so many nodes.

        Rounded rows come first and halves are tried before they are chosen if ``thorough``:
        that is worth its time where there are many blanks.
        """
        self._candidates = CANDIDATES if thorough else 1
        root = self._rounded(min(ROUNDS, nodes // 8)) if thorough else self._all
        if root is None:
            return Verdict.REFUTED, []
        stack = [root]
        while stack:
            ranges = stack.pop()
            nodes -= 1
            if nodes < 0 or self._effort.over() or not self._solved(ranges):
                return Verdict.OPEN, []
            tighter = self._tightened(ranges)
            if tighter is None:
                continue
            children = self._split(tighter)
            if children:
                stack += children
                continue
            chosen = self._whole_solution()
            if chosen:
                return Verdict.FOUND, chosen
            if _same(ranges, tighter):
                return Verdict.OPEN, []
            # The solution is outside the tighter ranges: solve the node again within them.
            stack.append(tighter)
        return Verdict.REFUTED, []

    def _rounded(self, rounds: int) -> Ranges | None:
        """Add rounded rows that the programme breaks, again and again; return what that leaves, None if nothing."""
        ranges = self._all
        value, idle = 0.0, 0
        for turn in range(rounds + 1):
            if self._effort.over() or not self._solved(ranges):
                return ranges
            tighter = self._tightened(ranges)
            if tighter is None:
                return None
            reached = self._solver.Objective().Value()
            idle = idle + 1 if reached < value + 1e-5 else 0
            value = max(value, reached)
            if turn == rounds or idle >= IDLE:
                break
            found = self._broken_rows(ranges)
            if not found:
                break
            self._forget_loose()
            self._add(found)
            ranges = self._without_useless(tighter)
            self._build()
        self._forget_loose()
        ranges = self._without_useless(ranges)
        self._build()
        return ranges

    def _without_useless(self, ranges: Ranges) -> Ranges:
        """Leave out the crosscuts that may not be used any more, if they are many."""
        kept = np.flatnonzero(ranges.high > 0)
        if len(kept) > 0.8 * len(ranges.high):
            return ranges
        self._columns = [self._columns[number] for number in kept.tolist()]
        self._held, self._length = self._held[kept], self._length[kept]
        self._width, self._group = self._width[kept], self._group[kept]
        self._all = replace(self._all, low=self._all.low[kept], high=self._all.high[kept])
        return replace(ranges, low=ranges.low[kept], high=ranges.high[kept])

    def _broken_rows(self, ranges: Ranges) -> list[tuple[Whole, int]]:
        """Return rounded rows that the programme's solution breaks, from the rows of its basis."""
        inverse, places = self._basis()
        if inverse is None:
            return []
        copies = np.array([variable.solution_value() for variable in self._copies])
        groups = np.array([variable.solution_value() for variable in self._groups])
        fraction = np.abs(copies - np.rint(copies)), np.abs(groups - np.rint(groups))
        status = pywraplp.Solver.AT_UPPER_BOUND
        from_high = np.array([v.basis_status() == status for v in self._copies]) & (ranges.high > ranges.low)
        group_from_high = np.array([v.basis_status() == status for v in self._groups]) & (
            ranges.group_high > ranges.group_low
        )
        known = self._known(ranges)
        n_rows, n_rooms, n_groups = len(self._demand), len(self._room), len(groups)
        found = []
        for place, (kind, number) in enumerate(places):
            if kind > 1 or fraction[kind][number] < 0.01:
                continue
            line = inverse[place]
            rooms = line[n_rows : n_rows + n_rooms] / self._scale
            ties = line[n_rows + n_rooms : n_rows + n_rooms + n_groups]
            for sign in (1.0, -1.0):
                total = Sum(sign * line[:n_rows], sign * rooms, sign * ties, from_high, group_from_high)
                row = rounded_row(known, total)
                if row is None:
                    continue
                short = row[1] - float(row[0] @ copies)
                norm = float(np.sqrt((row[0].astype(float) ** 2).sum()))
                if norm > 0 and short / norm > 1e-3:
                    found.append((short / norm, row))
        self._effort.spend(2 + len(places) * 0.05)
        found.sort(key=lambda entry: -entry[0])
        return [row for _, row in found[:MOST_ROWS]]

    def _known(self, ranges: Ranges) -> Known:
        return Known(
            held=self._held,
            demand=self._demand,
            length=self._length,
            width=self._width,
            room=self._room,
            group=self._group,
            low=ranges.low,
            high=ranges.high,
            group_low=ranges.group_low,
            group_high=ranges.group_high,
        )

    def _basis(self) -> tuple[NDArray[np.floating[Any]] | None, list[tuple[int, int]]]:
        """Return the inverse of the basis, and which variable each of its lines stands for.

        Variables are (0, crosscut), (1, group) or (2, other). The inverse is only a
        hint where rows worth rounding may be found.
        """
        rows = [*self._cover, *self._rooms, *self._ties]
        n_rows, n_rooms = len(self._cover), len(self._rooms)
        basic = pywraplp.Solver.BASIC
        columns: list[Floats] = []
        places: list[tuple[int, int]] = []
        for number, variable in enumerate(self._copies):
            if variable.basis_status() == basic:
                column = np.zeros(len(rows))
                column[:n_rows] = self._held[number]
                column[n_rows + self._width[number]] = self._length[number] / self._scale
                column[n_rows + n_rooms + self._group[number]] = 1.0
                columns.append(column)
                places.append((0, number))
        for number, variable in enumerate(self._groups):
            if variable.basis_status() == basic:
                column = np.zeros(len(rows))
                column[n_rows + n_rooms + number] = -1.0
                columns.append(column)
                places.append((1, number))
        if self._share.basis_status() == basic:
            column = np.zeros(len(rows))
            column[n_rows : n_rows + n_rooms] = -self._room / self._scale
            columns.append(column)
            places.append((2, 0))
        for variable, (row, sign) in zip(self._missing, self._missing_in, strict=True):
            if variable.basis_status() == basic:
                column = np.zeros(len(rows))
                column[row] = sign
                columns.append(column)
                places.append((2, 0))
        for number, constraint in enumerate(rows):
            if constraint.basis_status() == basic:
                column = np.zeros(len(rows))
                column[number] = 1.0
                columns.append(column)
                places.append((2, 0))
        if len(columns) != len(rows):
            return None, []
        try:
            return np.linalg.inv(np.array(columns).T), places
        except np.linalg.LinAlgError:
            return None, []

    def _forget_loose(self) -> None:
        """Leave out the rounded rows that bind nothing."""
        kept = [
            number
            for number, row in enumerate(self._cover)
            if number < self._n_kinds or row.basis_status() != pywraplp.Solver.BASIC
        ]
        self._held, self._demand = self._held[:, kept], self._demand[kept]

    def _add(self, rows: Sequence[tuple[Whole, int]]) -> None:
        self._held = np.concatenate([self._held, np.array([gives for gives, _ in rows]).T], axis=1)
        self._demand = np.concatenate([self._demand, np.array([need for _, need in rows], dtype=np.int64)])

    def _build(self) -> None:
        self._solver = solver = pywraplp.Solver.CreateSolver("GLOP")
        infinity = solver.infinity()
        solver.Objective().SetMinimization()
        self._share = share = solver.NumVar(0.0, infinity, "")
        solver.Objective().SetCoefficient(share, 1.0)
        self._cover = [solver.Constraint(float(d), infinity) for d in self._demand]
        self._rooms = [solver.Constraint(-infinity, 0.0) for _ in self._room]
        for row, length in zip(self._rooms, self._room, strict=True):
            row.SetCoefficient(share, -float(length) / self._scale)
        self._ties = [solver.Constraint(0.0, 0.0) for _ in self._all.group_low]
        self._copies = [solver.NumVar(0.0, float(h), "") for h in self._all.high]
        self._groups = [solver.NumVar(0.0, float(h), "") for h in self._all.group_high]
        # What is missing keeps the programme soluble at every node, and the multipliers within bounds.
        n_cover, n_rooms = len(self._cover), len(self._rooms)
        self._missing_in = [(row, 1.0) for row in range(n_cover)]
        self._missing_in += [(n_cover + n_rooms + tie, sign) for sign in (1.0, -1.0) for tie in range(len(self._ties))]
        self._missing = [self._artificial(row, 1.0) for row in [*self._cover, *self._ties]]
        self._missing += [self._artificial(row, -1.0) for row in self._ties]
        for tie, group in zip(self._ties, self._groups, strict=True):
            tie.SetCoefficient(group, -1.0)
        for number, copies in enumerate(self._copies):
            for kind in np.flatnonzero(self._held[number]).tolist():
                self._cover[kind].SetCoefficient(copies, float(self._held[number, kind]))
            self._rooms[self._width[number]].SetCoefficient(copies, float(self._length[number]) / self._scale)
            self._ties[self._group[number]].SetCoefficient(copies, 1.0)

    def _artificial(self, row: pywraplp.Constraint, sign: float) -> pywraplp.Variable:
        variable = self._solver.NumVar(0.0, self._solver.infinity(), "")
        row.SetCoefficient(variable, sign)
        self._solver.Objective().SetCoefficient(variable, MISSING)
        return variable

    def _solved(self, ranges: Ranges) -> bool:
        """Solve the programme at a node and round its dual values."""
        for variables, lows, highs in (
            (self._copies, ranges.low, ranges.high),
            (self._groups, ranges.group_low, ranges.group_high),
        ):
            for variable, low, high in zip(variables, lows.tolist(), highs.tolist(), strict=True):
                variable.SetBounds(low, high)
        if not glop_solved(self._solver, self._effort):
            return False
        duals = np.array([row.dual_value() for row in self._cover])
        prices = np.array([-row.dual_value() for row in self._rooms]) / self._scale
        ties = np.array([-row.dual_value() for row in self._ties])
        top = float(max(duals.max(initial=0.0), np.abs(ties).max(initial=0.0)))
        # Multipliers that are noise beside the price of room say nothing, and would overflow as whole numbers.
        if top <= 0 or float(np.abs(prices).max(initial=0.0)) * self._most_room > top * LARGEST:
            duals, prices, ties, top = np.zeros_like(duals), np.zeros_like(prices), np.zeros_like(ties), 1.0
        self._values = self._whole(np.maximum(duals, 0.0), top)
        self._prices = self._whole(np.maximum(prices, 0.0), top)
        self._ties_worth = self._whole(ties, top)
        return True

    def _whole_solution(self) -> Chosen:
        """Return the programme's solution if it is whole and fits, counted in whole numbers."""
        copies = np.array([round(variable.solution_value()) for variable in self._copies], dtype=np.int64)
        length = np.zeros(len(self._room), np.int64)
        np.add.at(length, self._width, self._length * copies)
        holds = bool((copies @ self._held >= self._demand).all())
        if not holds or bool((length > self._room).any()):
            return []
        return [(*self._columns[n], int(copies[n])) for n in np.flatnonzero(copies).tolist()]

    @staticmethod
    def _whole(values: Floats, top: float) -> Whole:
        return np.asarray(np.rint(values * (FINE / top)), dtype=np.int64)

    def _tightened(self, ranges: Ranges) -> Ranges | None:
        """Return ranges without what is proven to be of no use; None if nothing is left."""
        # Any multipliers prove what follows: rounding them loses strength, never truth.
        size = np.abs(self._held).astype(np.float64) @ self._values + self._length * self._prices[self._width]
        size = (size + np.abs(self._ties_worth)[self._group]) @ np.maximum(1, ranges.high)
        size += float(np.abs(self._ties_worth.astype(np.float64)) @ ranges.group_high)
        size += float(np.abs(self._demand).astype(np.float64) @ self._values)
        size += float(self._prices.astype(np.float64) @ self._room)
        if not size < MOST:
            return ranges
        gain = self._held @ self._values - self._length * self._prices[self._width] - self._ties_worth[self._group]
        need = int(self._values @ self._demand)
        have = int(self._prices @ self._room)
        have += int(np.where(gain > 0, gain * ranges.high, gain * ranges.low).sum())
        worth = self._ties_worth
        have += int(np.where(worth > 0, worth * ranges.group_high, worth * ranges.group_low).sum())
        spare = have - need
        if spare < 0:
            return None
        low, high = _narrowed(gain, spare, ranges.low, ranges.high)
        group_low, group_high = _narrowed(worth, spare, ranges.group_low, ranges.group_high)
        return Ranges(low, high, group_low, group_high)

    def _split(self, ranges: Ranges) -> list[Ranges]:
        """Return the two halves of a node; none if the programme's solution is whole."""
        for which, variables, low, high in (
            (0, self._groups, "group_low", "group_high"),
            (1, self._copies, "low", "high"),
        ):
            values = np.array([variable.solution_value() for variable in variables])
            lows, highs = getattr(ranges, low), getattr(ranges, high)
            broken = _broken(values, lows, highs)
            if broken:
                number = self._most_telling(which, variables, values, broken, lows, highs)
                cut = int(np.floor(values[number]))
                less, more = highs.copy(), lows.copy()
                less[number], more[number] = cut, cut + 1
                # The half with more comes off the stack first: it fixes more, whether there is a plan or not.
                return [replace(ranges, **{high: less}), replace(ranges, **{low: more})]
        return []

    def _most_telling(
        self,
        which: int,
        variables: Sequence[pywraplp.Variable],
        values: Floats,
        broken: Sequence[int],
        low: Whole,
        high: Whole,
    ) -> int:
        """Return the number whose two halves raise the programme the most: tried at first, later by what was seen."""
        if self._candidates == 1:
            return broken[0]
        base = float(self._solver.Objective().Value())
        best, most = broken[0], -1.0
        for number in broken[: self._candidates]:
            cut = float(np.floor(values[number]))
            part = float(values[number]) - cut
            gains = []
            for up, step in ((0, part), (1, 1.0 - part)):
                seen = self._seen.setdefault((which, number, up), [0.0, 0.0])
                if seen[1] < TRIED:
                    bounds = (float(low[number]), cut) if not up else (cut + 1.0, float(high[number]))
                    variables[number].SetBounds(*bounds)
                    gain = (
                        float(self._solver.Objective().Value()) - base
                        if glop_solved(self._solver, self._effort)
                        else 0.0
                    )
                    variables[number].SetBounds(float(low[number]), float(high[number]))
                    seen[0] += min(max(gain, 0.0), 1.0) / step
                    seen[1] += 1.0
                gains.append(max(SMALL, seen[0] / seen[1] * step))
            if min(gains) * max(gains) > most:
                best, most = number, min(gains) * max(gains)
        return best


def _same(one: Ranges, other: Ranges) -> bool:
    return all(np.array_equal(getattr(one, field.name), getattr(other, field.name)) for field in fields(Ranges))


def _narrowed(gain: Whole, spare: int, low: Whole, high: Whole) -> tuple[Whole, Whole]:
    """Return ranges in which no number alone loses more than there is to spare."""
    loss = np.maximum(1, np.abs(gain))
    steps = spare // loss
    return (
        np.where(gain > 0, np.maximum(low, high - steps), low),
        np.where(gain < 0, np.minimum(high, low + steps), high),
    )


def _broken(values: Floats, low: Whole, high: Whole) -> list[int]:
    """Return the numbers that can still be split, those nearest to a half first."""
    away = np.abs(values - np.rint(values))
    away[(high <= low) | (values < low - SMALL) | (values > high + SMALL)] = 0.0
    found = np.flatnonzero(away > SMALL)
    rank: list[int] = found[np.argsort(-away[found], kind="stable")].tolist()
    return rank
