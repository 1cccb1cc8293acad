"""Whole crosscuts that cover more than is wanted, trimmed to what is wanted."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

import numpy as np

from solver.rolls.crosscuts import Crosscut, CrosscutPricing
from solver.rolls.demand import Whole
from solver.rolls.stacks import stacked

Chosen = list[tuple[Crosscut, int, int]]
"""Crosscuts as (crosscut, width number, copies)."""


def trimmed(pricing: CrosscutPricing, picked: Chosen, demand: Whole) -> Chosen:
    """Return crosscuts with the blanks beyond the demand left out, first where that shortens the crosscut.

    Parameters
    ----------
    picked
        Two-stage crosscuts that hold the demand or more.
    demand
        Blanks wanted of each kind, shape (n_kinds,).
    """
    singles = [(crosscut, width) for crosscut, width, copies in picked for _ in range(copies)]
    tally: Counter[tuple[Crosscut, int]] = Counter()
    for (_, width), left in zip(singles, trimmed_each(pricing, [c for c, _ in singles], demand), strict=True):
        if left is not None:
            tally[left, width] += 1
    return [(crosscut, width, copies) for (crosscut, width), copies in tally.items()]


def trimmed_each(pricing: CrosscutPricing, crosscuts: Sequence[Crosscut], demand: Whole) -> list[Crosscut | None]:
    """Return what is left of each single crosscut, None where nothing is."""
    order = pricing.demand
    surplus = -demand.copy()
    for crosscut in crosscuts:
        for kind, count in crosscut.counts:
            surplus[kind] += count
    found: list[Crosscut | None] = []
    for crosscut in crosscuts:
        if crosscut.strips:
            found.append(_trimmed_strips(pricing, crosscut, surplus))
            continue
        lay_of = {int(order.lay_kind[lay]): int(lay) for lay in order.lays_at(crosscut.span)}
        left = {lay_of[kind]: count for kind, count in crosscut.counts}
        for lay in sorted(left, key=lambda lay: (-int(order.start[lay]), lay)):
            kind = int(order.lay_kind[lay])
            gone = min(left[lay], max(0, int(surplus[kind])))
            left[lay] -= gone
            surplus[kind] -= gone
        lays = [lay for lay, count in left.items() if count]
        found.append(pricing.made(np.array(lays), np.array([left[lay] for lay in lays])) if lays else None)
    return found


def _trimmed_strips(pricing: CrosscutPricing, crosscut: Crosscut, surplus: Whole) -> Crosscut | None:
    """Take surplus blanks out of the strips of a three-stage crosscut; ``surplus`` is reduced."""
    order = pricing.demand
    strips = []
    for _, lays in crosscut.strips:
        left = []
        for lay, count in lays:
            kind = int(order.lay_kind[lay])
            gone = min(count, max(0, int(surplus[kind])))
            surplus[kind] -= gone
            if count > gone:
                left.append((lay, count - gone))
        if left:
            strips.append((max(int(order.lay_across[lay]) for lay, _ in left), tuple(left)))
    return stacked(order, strips) if strips else None
