"""A plan at once: fill stick after stick, longest rails first."""

from __future__ import annotations

from collections.abc import Sequence

from solver.sticks.grid import Column, Grid, Packing, Pattern


def fullest_first_fit(grid: Grid, demand: Sequence[int], limits: Sequence[int | None]) -> tuple[Packing, list[int]]:
    """Return sticks cut one after the other, and the rails that found none.

    Each stick takes the longest rails that fit, and each time the size is taken
    whose sticks cost least for each unit filled. What a stick holds is repeated
    as long as rails and sticks last, so a hundred thousand rails take no longer
    than their distinct lengths.
    """
    left = list(demand)
    stock = list(limits)
    packing: Packing = {}
    while any(left):
        best: tuple[tuple[float, int, int], Column, int] | None = None
        for s, size in enumerate(grid.sizes):
            if stock[s] == 0:
                continue
            pattern = longest_first(grid.weights, left, size.capacity)
            if not pattern:
                continue
            filled = sum(grid.weights[i] * copies for i, copies in pattern)
            copies = min(left[i] // copies for i, copies in pattern)
            bound = stock[s]
            if bound is not None:
                copies = min(copies, bound)
            # A free stick is worth taking only as far as it is filled.
            rank = (size.cost / filled, size.capacity - filled, s)
            if best is None or rank < best[0]:
                best = (rank, (s, pattern), copies)
        if best is None:
            break
        _, (s, pattern), copies = best
        packing[s, pattern] = packing.get((s, pattern), 0) + copies
        for i, times in pattern:
            left[i] -= times * copies
        bound = stock[s]
        if bound is not None:
            stock[s] = bound - copies
    return packing, left


def longest_first(weights: Sequence[int], left: Sequence[int], capacity: int) -> Pattern:
    """Return the pattern that takes the longest rails that still fit.

    Examples
    --------
    >>> longest_first((50, 30, 20), (1, 2, 2), 100)
    ((0, 1), (1, 1), (2, 1))
    """
    pattern = []
    for i, weight in enumerate(weights):
        if left[i] and weight <= capacity:
            copies = min(left[i], capacity // weight)
            pattern.append((i, copies))
            capacity -= copies * weight
    return tuple(pattern)


def topped_up(weights: Sequence[int], left: Sequence[int], capacity: int, pattern: Pattern) -> Pattern:
    """Return the pattern with every rail added that still fits and is wanted, longest first."""
    held = dict(pattern)
    free = capacity - sum(weights[i] * copies for i, copies in pattern)
    if free < weights[-1]:
        return pattern
    for i, weight in enumerate(weights):
        if weight <= free:
            copies = min(left[i] - held.get(i, 0), free // weight)
            if copies > 0:
                held[i] = held.get(i, 0) + copies
                free -= copies * weight
    return tuple(sorted(held.items()))
