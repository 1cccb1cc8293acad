"""Better whole crosscuts by setting a few of them free and choosing those anew."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from fractions import Fraction
from random import Random

import numpy as np

from solver.rolls.bounds import SCALE
from solver.rolls.crosscuts import Crosscut
from solver.rolls.decide import CrosscutModel, Verdict
from solver.rolls.demand import Whole
from solver.rolls.effort import Effort
from solver.rolls.listing import crosscuts_within
from solver.rolls.master import Floats, Master
from solver.rolls.trimming import Chosen

WEIGHT = 1_000
"""Whole-number weight of the dearest unit of length."""
OVERFLOW = 30
"""Times the dearest unit of length that a unit of overflow counts."""
FREED_BLANKS = (12.0, 40.0, 180.0)
"""How many blanks are set free at a time: at least, at first, at most."""
MOST_LISTED = 800
STEP_WORTH = 20
"""Times its length that a started selling step counts, so that money goes before length."""
UNITS = 0.2
"""Deterministic time of CP-SAT for one attempt."""


class Neighbourhood:
    """Search around whole crosscuts for less weighted length, or less beyond the room there is.

    Parameters
    ----------
    weights
        Worth of a unit of length on each width, the largest 1.
    room
        Length there is on each width, or None for no limit.
    steps
        Selling step of each width, if started steps are to be saved rather than length.
    """

    def __init__(
        self,
        master: Master,
        effort: Effort,
        chance: Random,
        weights: Floats,
        room: Sequence[int] | None,
        steps: Sequence[int] | None = None,
    ) -> None:
        self._master, self._effort, self._chance = master, effort, chance
        self._freed_blanks = FREED_BLANKS[1]
        self._units = UNITS if room is None else UNITS / 2
        self._weights = [max(1, round(WEIGHT * w)) for w in weights / weights.max()]
        self._room = None if room is None else list(room)
        self._steps = steps
        self._free = np.array(self._weights) / WEIGHT
        self._fix(self._room)
        master.set_residual(master.demand.counts)
        master.generate(30)
        self._losses = _Losses(master)

    def _fix(self, room: Sequence[int] | None) -> None:
        ample = [1e12] * len(self._weights)
        self._master.fix_rolls(ample if room is None else [float(r) for r in room], self._free)

    def value(self, chosen: Chosen) -> int:
        """Return the weighted length of crosscuts, with what is beyond the room."""
        value = self._value_in(chosen, self._room)
        if self._steps is None:
            return value
        return value + STEP_WORTH * self._started(_lengths(chosen, len(self._weights)))

    def _started(self, length: Sequence[int]) -> int:
        """Return the weighted length of all started steps."""
        steps = self._steps or [1] * len(self._weights)
        return sum(w * step * -(-n // step) for w, step, n in zip(self._weights, steps, length, strict=True))

    def overflow(self, chosen: Chosen) -> int:
        """Return the length beyond the room."""
        if self._room is None:
            return 0
        length = _lengths(chosen, len(self._weights))
        return sum(max(0, n - r) for n, r in zip(length, self._room, strict=True))

    def improved(self, chosen: Chosen) -> Chosen | None:
        """Return crosscuts no worse after one attempt with some of them set free, or None.

        Others just as good are taken too: from them the next attempt may get on.
        """
        left: Counter[tuple[Crosscut, int]] = Counter()
        for crosscut, width, copies in chosen:
            left[crosscut, width] += copies
        # Each crosscut once: what is set free is counted by crosscut.
        chosen = [(crosscut, width, copies) for (crosscut, width), copies in left.items()]
        blanks = sum(count * copies for crosscut, _, copies in chosen for _, count in crosscut.counts)
        each = blanks / sum(copies for _, _, copies in chosen)
        freed = self._freed(chosen, max(3, round(self._freed_blanks * (0.6 + 0.8 * self._chance.random()) / each)))
        left.subtract(freed)
        kept = [(crosscut, width, copies) for (crosscut, width), copies in left.items() if copies]
        loose = [(crosscut, width, copies) for (crosscut, width), copies in freed.items()]
        found = self._again(loose, kept)
        if found is None:
            return None
        total = Counter({(crosscut, width): copies for crosscut, width, copies in kept})
        for crosscut, width, copies in found:
            total[crosscut, width] += copies
        better = [(crosscut, width, copies) for (crosscut, width), copies in total.items()]
        return better if self.value(better) <= self.value(chosen) else None

    def _freed(self, chosen: Chosen, size: int) -> Counter[tuple[Crosscut, int]]:
        """Pick crosscuts to set free: half of them among those that lose the most, half anyhow."""
        chance = self._chance
        worst = sorted(chosen, key=lambda entry: -self._losses(entry[0], entry[1]) * (0.5 + chance.random()))
        freed: Counter[tuple[Crosscut, int]] = Counter()
        for crosscut, width, copies in worst[: size // 2]:
            freed[crosscut, width] += min(copies, 1 + chance.randrange(2))
        copies_of = [entry[2] for entry in chosen]
        while sum(freed.values()) < min(size, sum(copies_of)):
            crosscut, width, copies = chance.choices(chosen, copies_of)[0]
            if freed[crosscut, width] < copies:
                freed[crosscut, width] += 1
        return freed

    def _again(self, loose: Chosen, kept: Chosen) -> Chosen | None:
        """Choose crosscuts anew for the blanks of ``loose``; None if nothing as good was found."""
        master = self._master
        demand = np.zeros(len(master.demand.counts), np.int64)
        for crosscut, _, copies in loose:
            for kind, count in crosscut.counts:
                demand[kind] += count * copies
        used = _lengths(kept, len(self._weights))
        room = None if self._room is None else [r - n for r, n in zip(self._room, used, strict=True)]
        now = self._value_in(loose, room)
        try:
            # Overfull widths start at no room; what they lack already is lost either way.
            self._fix(None if room is None else [max(0, r) for r in room])
            master.set_residual(demand)
            master.generate(12)
            top = float(master.duals.max(initial=0.0))
            lost = 0 if room is None else sum(max(0, -r) for r in room) * OVERFLOW
            gap = (now / WEIGHT - lost) / master.scale - master.value
            started = 0
            if self._steps is not None:
                # Length may grow as long as no more steps are paid for.
                started = self._started(_lengths([*kept, *loose], len(used)))
                raw = sum(w * n for w, n in zip(self._weights, used, strict=True)) + now
                gap += (started - raw) / WEIGHT / master.scale
            if gap < 1e-6 or top <= 0 or self._effort.over():
                return None
            worth = SCALE / top
            density = [
                Fraction(float((p + w) / master.scale * worth)) for p, w in zip(master.prices, self._free, strict=True)
            ]
            columns = self._listed(demand, density, gap * worth)
        finally:
            master.set_residual(master.demand.counts)
        model = CrosscutModel(master.pricing, self._effort, columns, demand)
        if self._steps is None:
            decision = model.least_overflow(self._weights, room, OVERFLOW * WEIGHT, now + 1, self._units)
        else:
            below = now + STEP_WORTH * started + 1
            decision = model.least_steps(self._weights, used, self._steps, STEP_WORTH, below, self._units)
        # What cannot be decided in time was too much at once; what can may be more.
        factor = 0.85 if decision.verdict is Verdict.OPEN else 1.1
        self._freed_blanks = min(FREED_BLANKS[2], max(FREED_BLANKS[0], self._freed_blanks * factor))
        return decision.chosen

    def _listed(self, demand: Whole, density: Sequence[Fraction], gap: float) -> list[tuple[Crosscut, int]]:
        """Return the crosscuts that lose the least, as many as the model bears."""
        master = self._master
        for _ in range(1 if self._steps is None else 3):
            slack = [Fraction(gap)] * len(density)
            columns = None
            if master.pricing.exact:
                columns = crosscuts_within(
                    master.pricing, self._effort, master.values, demand, density, slack, MOST_LISTED
                )
            if columns is not None:
                return columns
            gap /= 3
        return self._cheapest_known(demand)

    def _cheapest_known(self, demand: Whole) -> list[tuple[Crosscut, int]]:
        """Return the crosscuts of the programme that fit the demand and lose the least."""
        losses = _Losses(self._master)
        proper = [
            (crosscut, width)
            for crosscut, width in self._master.columns
            if all(count <= demand[kind] for kind, count in crosscut.counts)
        ]
        return sorted(proper, key=lambda entry: losses(*entry))[: MOST_LISTED // 2]

    def _value_in(self, chosen: Chosen, room: Sequence[int] | None) -> int:
        length = _lengths(chosen, len(self._weights))
        value: int = sum(w * n for w, n in zip(self._weights, length, strict=True))
        over = 0 if room is None else sum(max(0, n - r) for n, r in zip(length, room, strict=True))
        return value + OVERFLOW * WEIGHT * over


class _Losses:
    """What a crosscut costs beyond the value of its blanks, at the programme's dual values."""

    def __init__(self, master: Master) -> None:
        self._duals = master.duals.copy()
        self._rates = (master.prices + master.weights) / master.scale

    def __call__(self, crosscut: Crosscut, width: int) -> float:
        value = sum(self._duals[kind] * count for kind, count in crosscut.counts)
        return float(self._rates[width] * crosscut.length - value)


def _lengths(chosen: Chosen, n_widths: int) -> list[int]:
    length = [0] * n_widths
    for crosscut, width, copies in chosen:
        length[width] += crosscut.length * copies
    return length
