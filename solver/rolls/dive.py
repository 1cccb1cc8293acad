"""From fractions of crosscuts to whole ones: fix, solve what is left, and again."""

from __future__ import annotations

from dataclasses import replace
from random import Random

import numpy as np

from solver.rolls.crosscuts import Crosscut
from solver.rolls.demand import Demand, Whole
from solver.rolls.effort import Effort
from solver.rolls.master import Master
from solver.rolls.shelves import Rule, Way, shelves
from solver.rolls.trimming import Chosen


def dive(
    master: Master,
    effort: Effort,
    chance: Random,
    *,
    room: list[float] | None = None,
    demand: Whole | None = None,
    noise: float = 0.0,
    rounds: int = 6,
) -> Chosen | None:
    """Return whole crosscuts that hold the demand exactly, or None if a limit was hit first.

    Only *proper* crosscuts, those that hold no more of a kind than is left, take
    part, and new ones are priced for what is left. Where no room is given, a
    limit ends the dive with what the programme says now, and shelves for the rest.

    Parameters
    ----------
    room
        Length of the rolls on each width if they are given, in length units;
        the master must have been told (``fix_rolls``).
    demand
        Blanks of each kind to cover; all of the problem's if None.
    noise
        Share of chance in what is fixed next; 0 always takes the largest fraction.
    rounds
        Pricing rounds after each fixing.
    """
    residual = (master.demand.counts if demand is None else demand).copy()
    left = None if room is None else list(room)
    chosen: dict[tuple[Crosscut, int], int] = {}
    try:
        while residual.any():
            master.set_residual(residual)
            if left is not None:
                master.set_room(left)
            master.generate(rounds)
            if not hasattr(master, "use"):
                return None
            ended = effort.over()
            if ended and left is not None:
                return None
            picked = _fixed(master, residual, chance, noise)
            if not picked and not ended:
                return None
            for number, copies in picked:
                crosscut, width = master.columns[number]
                for kind, count in crosscut.counts:
                    residual[kind] -= count * copies
                if left is not None:
                    left[width] -= crosscut.length * copies
                chosen[crosscut, width] = chosen.get((crosscut, width), 0) + copies
            if ended:
                rest = _on_shelves(master.demand, residual)
                if rest is None:
                    return None
                for crosscut, width, copies in rest:
                    chosen[crosscut, width] = chosen.get((crosscut, width), 0) + copies
                break
    finally:
        master.set_residual(master.demand.counts)
        if room is not None:
            master.set_room(room)
    return [(crosscut, width, copies) for (crosscut, width), copies in chosen.items()]


def _on_shelves(demand: Demand, residual: Whole) -> Chosen | None:
    """Return shelves for what is left, on the widest roll that takes it all; None if none does."""
    rest = replace(demand, counts=residual)
    for width in range(len(demand.widths) - 1, -1, -1):
        found = shelves(rest, width, Rule.BEST_FIT, Way.WIDE)
        if found is not None:
            return found
    return None


def _fixed(master: Master, residual: Whole, chance: Random, noise: float) -> list[tuple[int, int]]:
    """Return which crosscuts to fix next as (column number, copies)."""
    use = master.use
    left = residual.copy()
    picked = []
    for number in np.flatnonzero(use >= 1 - 1e-6):
        copies = _copies(master, int(number), int(use[number] + 1e-6), left)
        if copies:
            picked.append((int(number), copies))
    if picked:
        return picked
    parts = np.flatnonzero(use > 1e-6)
    rank = sorted(parts, key=lambda n: (-use[n] * (1 - noise * chance.random()), n))
    for number in rank[: max(1, len(rank) // 12)]:
        copies = _copies(master, int(number), 1, left)
        if copies:
            picked.append((int(number), copies))
    return picked


def _copies(master: Master, number: int, most: int, left: Whole) -> int:
    """Take as many copies as are left to be covered, at most ``most``."""
    counts = master.columns[number][0].counts
    copies = min([most] + [int(left[kind]) // count for kind, count in counts])
    if copies > 0:
        for kind, count in counts:
            left[kind] -= count * copies
    return max(0, copies)
