"""Exact lower bounds: a float may propose what rails are worth, whole numbers prove it.

References
----------
Farley, A note on bounding a class of linear programming problems, including
cutting stock problems, Operations Research 38 (1990): duals divided by the
worst overcharge are feasible.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

import numpy as np

from solver.sticks.filling import Filling, Whole
from solver.sticks.master import Real

TOTAL_BITS = 40
"""A stick's worth is counted in whole numbers up to about two to this power."""


def whole_gains(worth: Real, scale: int) -> Whole:
    """Return the worth of each rail as whole numbers, rounded down."""
    return np.floor(np.maximum(worth, 0.0) * float(scale)).astype(np.int64)


def scale_for(costs: Sequence[int]) -> int:
    """Return the power of two that keeps a stick's worth within :data:`TOTAL_BITS`."""
    return 1 << max(0, TOTAL_BITS - max(1, *costs).bit_length())


def cost_bound(
    costs: Sequence[int],
    limits: Sequence[int | None],
    demand: Sequence[int],
    gains: Whole,
    filling: Filling,
    scale: int,
) -> Fraction:
    """Return a lower bound on the cost of covering ``demand``.

    Parameters
    ----------
    costs, limits
        Of each size, shape (n_sizes,).
    demand
        Rails to cover, shape (n_rails,).
    gains
        Whole worth of each rail, ``scale`` to a cost unit.
    filling
        The best each size can hold at these gains (an upper bound will do).
    scale
        Whole numbers to a cost unit.
    """
    overcharge = Fraction(1)
    for cost, limit, value in zip(costs, limits, filling.values, strict=True):
        if limit is None and value > cost * scale:
            if cost == 0:
                return Fraction(0)
            overcharge = max(overcharge, Fraction(value, cost * scale))
    worth = Fraction(sum(int(gain) * int(count) for gain, count in zip(gains, demand, strict=True)))
    for cost, limit, value in zip(costs, limits, filling.values, strict=True):
        if limit:
            profit = value - cost * scale * overcharge
            if profit > 0:
                worth -= profit * limit
    return max(Fraction(0), worth / (overcharge * scale))
