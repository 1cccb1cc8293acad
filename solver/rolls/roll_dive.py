"""From fractions of filled rolls to whole ones: fix rolls with their crosscuts, solve what is left, and again."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from random import Random

import numpy as np

from solver.rolls.crosscuts import Crosscut
from solver.rolls.demand import Whole
from solver.rolls.effort import Effort
from solver.rolls.filled import FilledRoll
from solver.rolls.roll_master import RollMaster


def roll_dive(
    master: RollMaster,
    effort: Effort,
    chance: Random,
    *,
    bought: Sequence[int] | None = None,
    noise: float = 0.0,
    rounds: int = 8,
    demand: Whole | None = None,
) -> tuple[list[FilledRoll], Whole] | None:
    """Return filled rolls and the blanks left over, or None if a limit was hit first.

    Parameters
    ----------
    bought
        How many rolls of each offer there are; None as the offers say.
    noise
        Share of chance in what is fixed next.
    rounds
        Pricing rounds after each fixing.
    demand
        Blanks of each kind to cover; all of the problem's if None.
    """
    offers = master.demand.offers
    residual = (master.demand.counts if demand is None else demand).copy()
    left: list[int] | None = None if bought is None else list(bought)
    if left is None and any(offer.limit is not None for offer in offers):
        ample = int(residual.sum())
        left = [ample if offer.limit is None else offer.limit for offer in offers]
    filled: list[FilledRoll] = []
    try:
        while residual.any():
            master.set_residual(residual)
            master.limit(left, free=bought is not None)
            master.generate(rounds)
            if effort.over():
                return None
            fixed = _fixed(master, residual, chance, noise, left)
            if not fixed:
                break
            filled += fixed
    finally:
        master.set_residual(master.demand.counts)
        master.limit(bought, free=bought is not None)
    return filled, residual


def _fixed(
    master: RollMaster, residual: Whole, chance: Random, noise: float, left: list[int] | None
) -> list[FilledRoll]:
    """Fill the rolls of the largest shares; ``residual`` and ``left`` are reduced."""
    use = dict(enumerate(master.use))
    shares = np.flatnonzero(master.rolls > 1e-6)
    rank = sorted(shares, key=lambda n: (-master.rolls[n] * (1 - noise * chance.random()), n))
    whole = [n for n in rank if master.rolls[n] >= 1 - 1e-6]
    fixed = []
    for number in whole or rank[: max(1, len(rank) // 12)]:
        offer, slots = master.patterns[int(number)]
        for _ in range(max(1, int(master.rolls[number] + 1e-6))):
            if left is not None and left[offer] <= 0:
                break
            roll = _filled(master, residual, offer, slots, use)
            if roll is None:
                break
            if left is not None:
                left[offer] -= 1
            fixed.append(roll)
    return fixed


def _filled(
    master: RollMaster, residual: Whole, offer: int, slots: Sequence[tuple[int, int]], use: dict[int, float]
) -> FilledRoll | None:
    """Put crosscuts into the slots of a roll: those the programme uses most, or else newly priced ones."""
    width = master.demand.offers[offer].width
    held: Counter[Crosscut] = Counter()
    for length, count in slots:
        for _ in range(count):
            crosscut = _best(master, residual, width, length, use)
            if crosscut is None:
                break
            held[crosscut] += 1
            for kind, each in crosscut.counts:
                residual[kind] -= each
    return FilledRoll(offer=offer, crosscuts=tuple(held.items()), copies=1) if held else None


def _best(master: RollMaster, residual: Whole, width: int, length: int, use: dict[int, float]) -> Crosscut | None:
    best: tuple[float, int] | None = None
    for number, share in use.items():
        crosscut, place = master.columns[number]
        usable = share > 1e-6 and place == width and crosscut.length == length
        if usable and all(count <= residual[kind] for kind, count in crosscut.counts):
            best = max(best or (share, number), (share, number))
    if best is not None:
        use[best[1]] -= 1
        return master.columns[best[1]][0]
    span = int(np.searchsorted(master.demand.lengths, length, side="right")) - 1
    return master.pricing.crosscut(span, width, master.values, residual)
