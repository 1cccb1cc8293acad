"""Solve a rail part: numbers out to the cutting-stock solver, labelled sticks back."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator
from itertools import chain, repeat
from math import gcd, isqrt

from solver.catalogue import Corner, StickStock
from solver.lengths import Ticks
from solver.limits import Limits
from solver.parts.record import RailPart
from solver.plan import ByHand, CutRail, CutStick, Proof, StickGroup
from solver.sticks import CuttingPlan, CuttingStock, StockLength, by_hand, cut


def joint_kerf(kerf: Ticks, corner: Corner) -> Ticks:
    """Return how much of the stick one saw cut takes.

    A cut at 45 degrees takes kerf times the square root of 2 along the stick,
    rounded up to a whole tick.

    Examples
    --------
    >>> joint_kerf(Ticks(1016), Corner.SQUARE), joint_kerf(Ticks(1016), Corner.MITRED)
    (1016, 1437)
    """
    if corner is Corner.SQUARE or kerf == 0:
        return kerf
    return Ticks(isqrt(2 * kerf * kerf - 1) + 1)


def head_trim(stick: StickStock, end_trim: Ticks) -> Ticks:
    """Return what is cut off the first end: nothing from a leftover, whose first end is clean."""
    return Ticks(0) if stick.leftover else end_trim


def usable_length(stick: StickStock, end_trim: Ticks) -> Ticks:
    """Return the length of a stick between its trims."""
    return Ticks(stick.length - head_trim(stick, end_trim) - end_trim)


def stick_group(part: RailPart, limits: Limits) -> StickGroup:
    """Return the sticks of one profile and colour, labelled, in cutting order.

    Raises
    ------
    ProblemError
        If the sticks on sale and on hand do not suffice.
    """
    counts: Counter[int] = Counter()
    for run in part.runs:
        counts[run.length] += run.quantity
    lengths = sorted(counts, reverse=True)
    offers = _offers(part, lengths[-1])
    priced = all(stick.price is not None for stick, bought in offers if bought)
    unit = _cost_unit(offers, priced=priced)
    kerf = joint_kerf(part.rules.kerf, part.corner)
    problem = CuttingStock(
        lengths=tuple(lengths),
        counts=tuple(counts[length] for length in lengths),
        kerf=kerf,
        stock=tuple(
            _stock_length(stick, part.rules.end_trim, unit, bought=bought, priced=priced) for stick, bought in offers
        ),
    )
    answer = cut(problem, limits)
    hand = by_hand(problem)
    return StickGroup(
        profile=part.profile,
        colour=part.colour,
        joint_kerf=kerf,
        sticks=tuple(_sticks(part, problem, answer, offers)),
        proof=Proof(
            measure="cents" if priced else "ticks",
            cost=answer.cost * unit,
            bound=answer.bound * unit,
            ending=answer.ending,
        ),
        by_hand=ByHand(
            words="longest rail first into the first stick it fits, all sticks of the best single length",
            cost=None if hand is None else hand * unit,
        ),
    )


def _offers(part: RailPart, shortest: int) -> list[tuple[StickStock, bool]]:
    """Pair every stick that holds at least one rail with whether it is bought; the rack comes first."""
    useful = [stick for stick in part.sticks if usable_length(stick, part.rules.end_trim) >= shortest]
    rack = [(stick, False) for stick in useful if stick.on_hand]
    return rack + [(stick, True) for stick in useful if stick.on_sale]


def _cost_unit(offers: list[tuple[StickStock, bool]], *, priced: bool) -> int:
    costs: list[int] = []
    for stick, bought in offers:
        if bought:
            costs.append((stick.price or 0) if priced else stick.length)
            costs.append((stick.bundle_price or 0) if priced else 0)
    return gcd(*costs) or 1


def _stock_length(stick: StickStock, end_trim: Ticks, unit: int, *, bought: bool, priced: bool) -> StockLength:
    usable = usable_length(stick, end_trim)
    if not bought:
        return StockLength(length=usable, cost=0, limit=stick.on_hand)
    cost = (stick.price or 0) if priced else stick.length
    bundle = None
    if priced and stick.bundle is not None and stick.bundle_price is not None:
        bundle = (stick.bundle, stick.bundle_price // unit)
    return StockLength(length=usable, cost=cost // unit, limit=stick.limit, bundle=bundle)


def _sticks(
    part: RailPart, problem: CuttingStock, answer: CuttingPlan, offers: list[tuple[StickStock, bool]]
) -> Iterator[CutStick]:
    """Give every rail its label: rails of one length are handed out in the order of the openings."""
    queues: dict[int, Iterator[CutRail]] = {}
    runs = defaultdict(list)
    for run in part.runs:
        runs[run.length].append(run)
    for length, alike in runs.items():
        queues[length] = iter(
            [
                CutRail(opening=run.opening, copy=copy, place=run.place, length=run.length)
                for run in alike
                for copy in range(1, run.quantity + 1)
            ]
        )
    in_saw_order = sorted(answer.patterns, key=lambda pattern: (pattern.rails, pattern.stock))
    alike_sticks = chain.from_iterable(repeat(pattern, pattern.copies) for pattern in in_saw_order)
    for number, pattern in enumerate(alike_sticks, start=1):
        stick, bought = offers[pattern.stock]
        rails = tuple(
            next(queues[problem.lengths[rail]]) for rail, times in sorted(pattern.rails) for _ in range(times)
        )
        spent = sum(rail.length + problem.kerf for rail in rails)
        offcut = Ticks(max(0, stick.length - head_trim(stick, part.rules.end_trim) - spent))
        yield CutStick(
            number=number,
            stock=stick.name,
            length=stick.length,
            rails=rails,
            offcut=offcut,
            kept=offcut >= max(1, part.rules.useful_offcut),
            bought=bought,
        )
