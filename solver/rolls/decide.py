"""Whole numbers of listed crosscuts, found and decided exactly by CP-SAT."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

import numpy as np
from ortools.sat.python import cp_model

from solver.rolls.crosscuts import Crosscut, CrosscutPricing
from solver.rolls.demand import Whole
from solver.rolls.effort import Effort
from solver.rolls.filled import Filled, FilledRoll
from solver.rolls.trimming import Chosen, trimmed, trimmed_each

WORK_A_UNIT = 4_000
"""Work units that a unit of CP-SAT's deterministic time counts."""
Listed = Sequence[tuple[Crosscut, int]]


class Verdict(Enum):
    """What was decided."""

    FOUND = "the best plan was found"
    REFUTED = "there is no such plan"
    OPEN = "not decided within the limit"


@dataclass(frozen=True, slots=True)
class Decision:
    """The verdict, and if any plan was found its crosscuts, its value and how they lie on the rolls."""

    verdict: Verdict
    chosen: Chosen | None = None
    value: int = 0
    filled: Filled | None = None


class CrosscutModel:
    """An integer model over listed crosscuts that covers a demand; rows for the rolls are added by kind of question.

    The listed crosscuts are the fullest ones, so the model may cover more than the
    demand; the surplus is trimmed off afterwards. All numbers are whole, so
    "refuted" is exact for the crosscuts listed.
    """

    def __init__(self, pricing: CrosscutPricing, effort: Effort, columns: Listed, demand: Whole) -> None:
        self._pricing, self._effort, self._columns, self._demand = pricing, effort, columns, demand
        self._model = cp_model.CpModel()
        self._cover: dict[int, list[cp_model.LinearExprT]] = {kind: [] for kind in np.flatnonzero(demand).tolist()}
        self._missing: dict[int, cp_model.IntVar] = {}
        self._on_width: dict[int, list[int]] = defaultdict(list)
        self._use = []
        self._rolls: list[tuple[int, int, dict[int, cp_model.IntVar] | None]] = []
        for number, (crosscut, width) in enumerate(columns):
            copies = max(-(-int(demand[kind]) // count) for kind, count in crosscut.counts)
            use = self._model.new_int_var(0, copies, "")
            self._use.append(use)
            self._on_width[width].append(number)
            for kind, count in crosscut.counts:
                self._cover[kind].append(count * use)

    def _cover_all(self) -> None:
        for kind, row in self._cover.items():
            self._model.add(sum(row) >= int(self._demand[kind]))

    def _length_on(self, width: int) -> cp_model.LinearExprT:
        return sum(self._columns[n][0].length * self._use[n] for n in self._on_width[width])

    def cheapest_running(self, on_hand: Sequence[int], below: int, units: float) -> Decision:
        """Find the cheapest purchase of running length beside the rolls on hand, if it costs less than ``below``."""
        self._cover_all()
        cost: cp_model.LinearExprT = 0
        steps_of: dict[int, tuple[cp_model.LinearExprT, ...]] = {}
        for number, offer in enumerate(self._pricing.demand.offers):
            if not offer.running:
                continue
            longest = sum(self._columns[n][0].length * int(self._demand.sum()) for n in self._on_width[offer.width])
            most = (below - 1) // offer.cost if offer.cost else longest // offer.length + 1
            steps = self._model.new_int_var(0, most, "")
            cost += offer.cost * steps
            steps_of[number] = (steps,)
        for width in self._on_width:
            self._fill(width, on_hand, steps_of)
        self._model.add(cost <= below - 1)
        self._model.minimize(cost)
        return self._solved(units)

    def fits_length(self, room: Sequence[int], units: float) -> Decision:
        """Decide whether the crosscuts can be cut from so much length on each width, rolls joined."""
        self._cover_all()
        for width in self._on_width:
            self._model.add(self._length_on(width) <= room[width])
        return self._solved(units)

    def fits_rolls(self, bought: Sequence[int], units: float) -> Decision:
        """Decide whether the crosscuts can be cut from the rolls bought, each filled on its own."""
        self._cover_all()
        for width in self._on_width:
            self._fill(width, bought, {})
        return self._solved(units)

    def least_missing(self, bought: Sequence[int], worth: Whole, below: int, units: float) -> Decision:
        """Find what leaves out the least worth of blanks, under ``below``, on the rolls bought."""
        cost: cp_model.LinearExprT = 0
        for kind, row in self._cover.items():
            missing = self._model.new_int_var(0, int(self._demand[kind]), "")
            self._missing[kind] = missing
            cost += int(worth[kind]) * missing
            self._model.add(sum(row) + missing >= int(self._demand[kind]))
        for width in self._on_width:
            self._fill(width, bought, {})
        self._model.add(cost < below)
        self._model.minimize(cost)
        return self._solved(units)

    def least_overflow(
        self, weights: Sequence[int], room: Sequence[int] | None, overflow: int, below: int, units: float
    ) -> Decision:
        """Find the least weighted length, and length beyond the room at ``overflow`` a unit, under ``below``."""
        self._cover_all()
        cost: cp_model.LinearExprT = 0
        for width in range(len(weights)):
            length = self._length_on(width)
            cost += weights[width] * length
            if room is not None:
                most = sum(self._columns[n][0].length for n in self._on_width[width]) * int(self._demand.sum())
                over = self._model.new_int_var(max(0, -room[width]), most + max(0, -room[width]), "")
                self._model.add(length - over <= room[width])
                cost += overflow * over
        self._model.add(cost < below)
        self._model.minimize(cost)
        return self._solved(units)

    def least_steps(
        self, weights: Sequence[int], used: Sequence[int], steps: Sequence[int], worth: int, below: int, units: float
    ) -> Decision:
        """Find the least weighted length with started steps at ``worth`` times theirs, beside ``used`` length."""
        self._cover_all()
        cost: cp_model.LinearExprT = 0
        for width in range(len(weights)):
            length = self._length_on(width)
            most = -(-(used[width] + int(self._demand.sum()) * int(self._pricing.demand.lengths[-1])) // steps[width])
            started = self._model.new_int_var(-(-used[width] // steps[width]), most, "")
            self._model.add(length + used[width] <= steps[width] * started)
            cost += weights[width] * (length + worth * steps[width] * started)
        self._model.add(cost < below)
        self._model.minimize(cost)
        return self._solved(units)

    def _fill(self, width: int, bought: Sequence[int], steps: dict[int, tuple[cp_model.LinearExprT, ...]]) -> None:
        """Put the crosscuts of one width on its rolls, one by one."""
        rolls: list[tuple[int, cp_model.LinearExprT]] = []
        for number, offer in enumerate(self._pricing.demand.offers):
            if offer.width != width:
                continue
            if number in steps:
                rolls.append((number, offer.length * steps[number][0]))
            elif offer.running and bought[number]:
                rolls.append((number, offer.length * bought[number]))
            else:
                rolls += [(number, offer.length)] * bought[number]
        if len(rolls) <= 1:
            self._model.add(self._length_on(width) <= (rolls[0][1] if rolls else 0))
            self._rolls += [(number, width, None) for number, _ in rolls]
            return
        of_length: dict[int, list[int]] = defaultdict(list)
        for n in self._on_width[width]:
            of_length[self._columns[n][0].length].append(n)
        slots: dict[int, list[cp_model.IntVar]] = defaultdict(list)
        before: tuple[int, cp_model.LinearExprT] | None = None
        for number, room in rolls:
            used: cp_model.LinearExprT = 0
            here: dict[int, cp_model.IntVar] = {}
            for length in sorted(of_length):
                most = room // length if isinstance(room, int) else int(self._demand.sum())
                here[length] = self._model.new_int_var(0, most, "")
                slots[length].append(here[length])
                used += length * here[length]
            self._rolls.append((number, width, here))
            self._model.add(used <= room)
            if before is not None and before[0] == number:
                self._model.add(before[1] >= used)
            before = (number, used)
        for length, numbers in of_length.items():
            self._model.add(sum(self._use[n] for n in numbers) <= sum(slots[length]))

    def _solved(self, units: float) -> Decision:
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.random_seed = 1
        # The linear relaxation decides these models; without it in full the search is hopeless.
        solver.parameters.linearization_level = 2
        solver.parameters.max_deterministic_time = min(units, 0.01 + self._effort.work_left / WORK_A_UNIT)
        solver.parameters.max_time_in_seconds = max(0.05, self._effort.seconds_left)
        with self._effort.watched(solver.stop_search):
            status = solver.solve(self._model)
        self._effort.spend(10 + len(self._columns) * 0.05 + WORK_A_UNIT * solver.response_proto.deterministic_time)
        if status == cp_model.INFEASIBLE:
            return Decision(Verdict.REFUTED)
        if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            return Decision(Verdict.OPEN)
        picked = [
            (crosscut, width, solver.value(use))
            for (crosscut, width), use in zip(self._columns, self._use, strict=True)
            if solver.value(use)
        ]
        held = self._demand.copy()
        for kind, missing in self._missing.items():
            held[kind] -= solver.value(missing)
        return Decision(
            verdict=Verdict.FOUND if status == cp_model.OPTIMAL else Verdict.OPEN,
            chosen=trimmed(self._pricing, picked, held),
            value=round(solver.objective_value) if self._model.has_objective() else 0,
            filled=self._filled(solver, picked, held) if self._rolls else None,
        )

    def _filled(self, solver: cp_model.CpSolver, picked: Chosen, held: Whole) -> Filled:
        """Return the rolls as the model filled them."""
        singles = [(crosscut, width) for crosscut, width, copies in picked for _ in range(copies)]
        left = trimmed_each(self._pricing, [crosscut for crosscut, _ in singles], held)
        waiting: dict[int, dict[int, list[Crosscut]]] = defaultdict(lambda: defaultdict(list))
        for (crosscut, width), rest in zip(singles, left, strict=True):
            if rest is not None:
                waiting[width][crosscut.length].append(rest)
        filled = []
        for number, width, slots in self._rolls:
            here: Counter[Crosscut] = Counter()
            for length, crosscuts in waiting[width].items():
                count = len(crosscuts) if slots is None else min(len(crosscuts), solver.value(slots[length]))
                for _ in range(count):
                    here[crosscuts.pop()] += 1
            if here:
                filled.append(FilledRoll(offer=number, crosscuts=tuple(here.items()), copies=1))
        return tuple(filled)
