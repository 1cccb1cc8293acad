"""Large neighbourhoods: take some sticks of a packing apart and cut their rails anew.

References
----------
Shaw, Using constraint programming and local search methods to solve vehicle
routing problems, CP 1998: the idea of large neighbourhood search.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Sequence

from solver.sticks.grid import Grid, Packing

Cutter = Callable[[Grid, Packing | None], Packing | None]
"""Returns a packing of a whole grid that costs less than the one given, if any, or None."""


class Neighbourhood:
    """Chooses sticks of a packing to take apart, and puts it together again.

    Parameters
    ----------
    grid
        The problem.
    seed
        For the choice of sticks.
    """

    def __init__(self, grid: Grid, seed: int) -> None:
        self.grid = grid
        self.tries = 0
        self.chance = random.Random(seed * 1_009)

    def choose(self, packing: Packing, worth: Sequence[float], sticks: int) -> Packing:
        """Return some sticks of a packing: the more a stick costs above what its rails are worth, the likelier.

        Parameters
        ----------
        packing
            Where to choose from.
        worth
            Of each rail in cost units, shape (n_rails,).
        sticks
            How many sticks at most.
        """
        columns = sorted(packing)
        losses = [
            max(0.0, self.grid.sizes[s].cost - sum(worth[i] * times for i, times in pattern)) for s, pattern in columns
        ]
        floor = sum(losses) / len(losses) * 0.3 + 1e-9
        weights = [(loss + floor) * packing[column] for loss, column in zip(losses, columns, strict=True)]
        chosen: Packing = {}
        for column in self.chance.choices(columns, weights=weights, k=4 * sticks):
            if sum(chosen.values()) >= sticks:
                break
            if chosen.get(column, 0) < packing[column]:
                chosen[column] = chosen.get(column, 0) + 1
        return chosen

    def improved(self, packing: Packing, worth: Sequence[float], sticks: int, cutter: Cutter) -> Packing | None:
        """Return a packing with some sticks cut anew, or None if that brought nothing."""
        self.tries += 1
        chosen = self.choose(packing, worth, sticks)
        rest = {column: n for column, copies in packing.items() if (n := copies - chosen.get(column, 0))}
        anew = cut_part(self.grid, demand_of(self.grid, chosen), limits_after(self.grid, rest), chosen, cutter)
        if anew is None:
            return None
        for column, copies in anew.items():
            rest[column] = rest.get(column, 0) + copies
        return rest


def demand_of(grid: Grid, packing: Packing) -> list[int]:
    """Return how many of each rail a packing cuts."""
    demand = [0] * len(grid.weights)
    for (_, pattern), copies in packing.items():
        for i, times in pattern:
            demand[i] += times * copies
    return demand


def limits_after(grid: Grid, packing: Packing) -> list[int | None]:
    """Return how many sticks of each size are left beside a packing."""
    limits = [size.limit for size in grid.sizes]
    for (s, _), copies in packing.items():
        limit = limits[s]
        if limit is not None:
            limits[s] = limit - copies
    return limits


def cut_part(
    grid: Grid, demand: Sequence[int], limits: Sequence[int | None], known: Packing | None, cutter: Cutter
) -> Packing | None:
    """Return a packing of part of the rails that costs less than the one known, or None."""
    part, rails, sizes = grid.part(demand, limits)
    rail_here = {i: k for k, i in enumerate(rails)}
    size_here = {s: k for k, s in enumerate(sizes)}
    start = known and {
        (size_here[s], tuple((rail_here[i], times) for i, times in pattern)): copies
        for (s, pattern), copies in known.items()
    }
    found = cutter(part, start)
    if found is None:
        return None
    return {
        (sizes[s], tuple((rails[i], times) for i, times in pattern)): copies for (s, pattern), copies in found.items()
    }
