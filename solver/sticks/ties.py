"""Choosing among equally cheap packings: shorter stock, useful offcuts, fewer patterns.

The money is settled before and never rises here. A local search does most of it,
on four hundred distinct lengths as on twenty; then a few patterns at a time are
taken apart and their rails cut anew from the same sticks by a small exact model.
"""

from __future__ import annotations

import random
from dataclasses import dataclass

from solver.errors import RecordError
from solver.sticks.effort import Effort
from solver.sticks.exact import trimmed
from solver.sticks.grid import MISSING, Column, Grid, Packing
from solver.sticks.offcuts import OffcutWorth, offcut_of
from solver.sticks.recut import recut
from solver.sticks.tidying import tidied

TIDYING_SHARE = 0.6
"""Share of the work on ties that the local search may take before the exact models."""


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
    """Return stock length used, (negative) worth of the offcuts, patterns, and the worth in fine."""
    length = rough = fine = 0
    worth = worth_of(grid, ties)
    for column, copies in packing.items():
        offcut = offcut_of(grid, column)
        length += grid.sizes[column[0]].capacity * copies
        rough += worth.rough(offcut) * copies
        fine += worth.fine(offcut) * copies
    return (
        length if ties.least_length else 0,
        -rough,
        len(packing) if ties.few_patterns else 0,
        -fine,
    )


def worth_of(grid: Grid, ties: Ties) -> OffcutWorth:
    """Return what offcuts are worth by the settings."""
    longest = max(stock.length for stock in grid.problem.stock)
    return OffcutWorth(useful=ties.useful_offcut or max(1, longest // 8), keeps=ties.useful_offcuts)


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
    worth = worth_of(grid, ties)
    cost = grid.packing_cost(best)
    reached = score(grid, best, ties)
    search = effort.portion(effort.work_left * TIDYING_SHARE)
    tidy = tidied(grid, best, worth, search, patterns=ties.few_patterns, seed=seed)
    if (now := score(grid, tidy, ties)) < reached:
        best, reached = tidy, now
    chance = random.Random(seed * 31 + 7)
    tried: set[tuple[Column, ...]] = set()
    failures, patience = 0, 12 + 2 * len(best)
    while failures < patience and len(best) > 1 and not effort.over():
        chosen = alike(best, 3 + failures % 5, chance)
        failures += 1
        if (columns := tuple(sorted(chosen))) in tried:
            continue
        tried.add(columns)
        anew = recut(grid, chosen, worth, effort, patterns=ties.few_patterns, seed=seed)
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


def alike(packing: Packing, count: int, chance: random.Random) -> Packing:
    """Return a pattern and those others that share most of its lengths, with all their sticks."""
    columns = sorted(packing)
    first = columns[chance.randrange(len(columns))]
    rails = {i for i, _ in first[1]}
    rank = [
        (-len(rails & {i for i, _ in column[1]}) - chance.random(), column) for column in columns if column != first
    ]
    rank.sort()
    return {column: packing[column] for column in [first, *(column for _, column in rank[: count - 1])]}
