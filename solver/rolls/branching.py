"""Branching over listed crosscuts: whole numbers of them that fit, or exact proof that there are none."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields, replace

import numpy as np
from ortools.linear_solver import pywraplp

from solver.rolls.crosscuts import Crosscut
from solver.rolls.decide import Verdict
from solver.rolls.demand import Whole
from solver.rolls.effort import Effort
from solver.rolls.glop import glop_solved
from solver.rolls.master import Floats
from solver.rolls.trimming import Chosen

FINE = 1 << 28
"""Whole-number size of the largest multiplier; sums of a thousand blanks stay far within 64 bits."""
LARGEST = float(1 << 32)
"""Greatest price of all the room against the largest multiplier, for sums to stay within 64 bits."""
MISSING = 100.0
"""What a missing blank costs, against 1 for all the room there is: no plan, then, leaves one out."""
SMALL = 1e-6


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
        self._most_room = float(self._room.sum() + self._length.max(initial=0))
        self._build()

    def decided(self, nodes: int) -> tuple[Verdict, Chosen]:
        """Return crosscuts that fit, or that none do, or that this is open after so many nodes."""
        stack = [self._all]
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

    def _build(self) -> None:
        self._solver = solver = pywraplp.Solver.CreateSolver("GLOP")
        infinity = solver.infinity()
        solver.Objective().SetMinimization()
        share = solver.NumVar(0.0, infinity, "")
        solver.Objective().SetCoefficient(share, 1.0)
        self._cover = [solver.Constraint(float(d), infinity) for d in self._demand]
        self._rooms = [solver.Constraint(-infinity, 0.0) for _ in self._room]
        for row, length in zip(self._rooms, self._room, strict=True):
            row.SetCoefficient(share, -float(length) / self._scale)
        self._ties = [solver.Constraint(0.0, 0.0) for _ in self._all.group_low]
        self._copies = [solver.NumVar(0.0, float(h), "") for h in self._all.high]
        self._groups = [solver.NumVar(0.0, float(h), "") for h in self._all.group_high]
        # What is missing keeps the programme soluble at every node, and the multipliers within bounds.
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
            return False
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
        for variables, low, high in (
            (self._groups, "group_low", "group_high"),
            (self._copies, "low", "high"),
        ):
            values = np.array([variable.solution_value() for variable in variables])
            lows, highs = getattr(ranges, low), getattr(ranges, high)
            number = _most_broken(values, lows, highs)
            if number is not None:
                cut = int(np.floor(values[number]))
                less, more = highs.copy(), lows.copy()
                less[number], more[number] = cut, cut + 1
                # The half with more comes off the stack first: it fixes more, whether there is a plan or not.
                return [replace(ranges, **{high: less}), replace(ranges, **{low: more})]
        return []


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


def _most_broken(values: Floats, low: Whole, high: Whole) -> int | None:
    """Return the number nearest to a half of those that can still be split."""
    away = np.abs(values - np.rint(values))
    away[(high <= low) | (values < low - SMALL) | (values > high + SMALL)] = 0.0
    number = int(np.argmax(away))
    return number if away[number] > SMALL else None
