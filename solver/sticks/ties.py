"""Choosing among equally cheap packings: shorter stock, useful offcuts, fewer patterns.

The money is settled before and never rises here. A few patterns at a time are
taken apart and their rails cut anew from the same sticks by a small exact model,
so it works alike on twenty distinct lengths and on four hundred.
"""

from __future__ import annotations

import random
from dataclasses import dataclass

from solver.errors import RecordError
from solver.sticks.effort import Effort
from solver.sticks.exact import trimmed
from solver.sticks.grid import MISSING, Grid, Packing
from solver.sticks.recut import Aim, recut


@dataclass(frozen=True, kw_only=True, slots=True)
class Ties:
    """What to prefer among equally cheap plans, the first that is set counting most.

    ``useful_offcut`` is the shortest offcut worth keeping, in the problem's unit;
    0 counts every offcut as useful. ``share`` is the most work to spend on ties,
    per mille of what the search for the money was allowed.
    """

    least_length: bool = True
    """Use up as little stock length as possible."""
    useful_offcuts: bool = True
    """Leave long offcuts and none between scrap and useful length."""
    few_patterns: bool = True
    """Cut as few different patterns as possible."""
    useful_offcut: int = 0
    share: int = 100

    def __post_init__(self) -> None:
        """Refuse settings that mean nothing."""
        if self.useful_offcut < 0 or not 0 <= self.share <= 1000:
            raise RecordError("ties: the useful offcut must be 0 or more, the share 0 to 1000 per mille")


Score = tuple[int, int, int, int]
"""What counts after the money, smaller is better, in the order of the settings."""


def score(grid: Grid, packing: Packing, ties: Ties) -> Score:
    """Return stock length used, scrap, patterns and (negative) length of offcuts squared."""
    length = scrap = spread = 0
    aim = aim_of(grid, ties)
    for (s, pattern), copies in packing.items():
        offcut = grid.sizes[s].capacity - sum(grid.weights[i] * times for i, times in pattern)
        length += grid.sizes[s].capacity * copies
        scrap += aim.scrap(offcut) * copies
        spread -= aim.reward(offcut) * copies
    return (
        length if ties.least_length else 0,
        scrap if ties.useful_offcuts else 0,
        len(packing) if ties.few_patterns else 0,
        spread if ties.useful_offcuts else 0,
    )


def aim_of(grid: Grid, ties: Ties) -> Aim:
    """Return the aim of a small model in grid units."""
    unit = (grid.problem.lengths[0] + grid.problem.kerf) // grid.weights[0]
    return Aim(
        useful=-(-ties.useful_offcut // unit) if ties.useful_offcuts else 0,
        offcuts=ties.useful_offcuts and ties.useful_offcut > 0,
        patterns=ties.few_patterns,
    )


def settled(grid: Grid, packing: Packing, ties: Ties, effort: Effort, seed: int) -> Packing:
    """Return a packing that costs no more and is better by the settings.

    Parameters
    ----------
    grid, packing
        The problem and a packing of it.
    ties
        What to prefer.
    effort
        Where work is counted; its limit ends the improvement.
    seed
        For the choice of patterns to take apart.
    """
    best = packing
    if ties.least_length:
        best = shorter_sticks(grid, best)
    if not (ties.useful_offcuts or ties.few_patterns):
        return best
    aim = aim_of(grid, ties)
    chance = random.Random(seed * 31 + 7)
    reached = score(grid, best, ties)
    cost = grid.packing_cost(best)
    failures, group = 0, 3
    patience = 12 + 2 * len(best)
    while failures < patience and len(best) > 1 and not effort.over():
        chosen = alike(grid, best, group, chance)
        anew = recut(grid, chosen, aim, effort, seed)
        failures += 1
        group = 3 + failures % 5
        if anew is None:
            continue
        rest = {column: copies for column, copies in best.items() if column not in chosen}
        for column, copies in anew.items():
            rest[column] = rest.get(column, 0) + copies
        rest = trimmed(grid, rest)
        if grid.packing_cost(rest) <= cost and (now := score(grid, rest, ties)) < reached:
            best, reached, failures = rest, now, 0
    return best


def shorter_sticks(grid: Grid, packing: Packing) -> Packing:
    """Return the packing with each stick's rails moved to the shortest free stick of equal or less cost.

    Sticks are looked at from the fullest down; a size in limited number is only
    taken while it lasts.
    """
    left = [size.limit for size in grid.sizes]
    for (s, _), copies in packing.items():
        if (limit := left[s]) is not None:
            left[s] = limit - copies
    moved: Packing = {}

    def used(entry: tuple[tuple[int, tuple[tuple[int, int], ...]], int]) -> int:
        return sum(grid.weights[i] * times for i, times in entry[0][1])

    for (s, pattern), copies in sorted(packing.items(), key=lambda entry: (-used(entry), entry)):
        need = sum(grid.weights[i] * times for i, times in pattern)
        rest = copies
        for other in sorted(range(len(grid.sizes)), key=lambda k: (grid.sizes[k].capacity, k)):
            size = grid.sizes[other]
            if other == s:
                break
            if size.capacity < need or size.cost > grid.sizes[s].cost or size.members == (MISSING,):
                continue
            if grid.bundled and any(grid.problem.stock[m].bundle for k in (s, other) for m in grid.sizes[k].members):
                continue
            there = left[other]
            taken = rest if there is None else min(rest, there)
            if taken:
                moved[other, pattern] = moved.get((other, pattern), 0) + taken
                rest -= taken
                if there is not None:
                    left[other] = there - taken
                if (limit := left[s]) is not None:
                    left[s] = limit + taken
        if rest:
            moved[s, pattern] = moved.get((s, pattern), 0) + rest
    return moved


def alike(grid: Grid, packing: Packing, count: int, chance: random.Random) -> Packing:
    """Return a pattern and those others that share most of its lengths, with all their sticks."""
    del grid
    columns = sorted(packing)
    first = columns[chance.randrange(len(columns))]
    rails = {i for i, _ in first[1]}
    rank = [
        (-len(rails & {i for i, _ in column[1]}) - chance.random(), column) for column in columns if column != first
    ]
    rank.sort()
    return {column: packing[column] for column in [first, *(column for _, column in rank[: count - 1])]}
