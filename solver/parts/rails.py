"""Solve a rail part: numbers out to the cutting-stock solver, labelled sticks back."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import chain, repeat
from math import gcd, isqrt

from solver.catalogue import Corner
from solver.errors import ProblemError
from solver.lengths import Ticks
from solver.limits import Limits
from solver.parts.offers import StickOffer, stick_offers
from solver.parts.record import RailPart, RailRun
from solver.parts.shortage import stick_shortage
from solver.plan import ByHand, CutRail, CutStick, Proof, StickGroup
from solver.rules import Preference, Rules
from solver.sticks import cut_valuing_leftovers
from solver.sticks.by_hand import by_hand
from solver.sticks.model import CuttingStock, StickPattern, StockLength
from solver.sticks.ties import Ties

RAILS_BY_HAND = "longest rail first into the first stick it fits, all sticks of the best single length"


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


def stick_group(part: RailPart, limits: Limits) -> StickGroup:
    """Return the sticks of one profile and colour, labelled, in cutting order.

    Raises
    ------
    ProblemError
        If the sticks on sale and on hand do not suffice.
    """
    offers = stick_offers(part)
    priced = all(offer.price is not None for offer in offers if offer.bought)
    # Leftovers are worth odd cents, so nothing coarser will do to count in.
    unit = 1 if part.rules.leftover_value else _cost_unit(offers, priced=priced)
    problem = cutting_stock(part, [_stock_length(offer, unit, priced=priced) for offer in offers])
    try:
        answer = cut_valuing_leftovers(
            problem, limits.counting(unit), stick_ties(part.rules), per_mille=part.rules.leftover_value
        )
    except ProblemError as error:
        raise ProblemError((stick_shortage(part, offers),)) from error
    hand = by_hand(problem)
    return StickGroup(
        profile=part.profile,
        colour=part.colour,
        joint_kerf=Ticks(problem.kerf),
        sticks=tuple(labelled_sticks(part, problem, offers, answer.patterns)),
        proof=Proof(
            measure="cents" if priced else "ticks",
            cost=answer.cost * unit,
            bound=answer.bound * unit,
            ending=answer.ending,
        ),
        by_hand=ByHand(words=RAILS_BY_HAND, cost=None if hand is None else hand * unit),
    )


def stick_ties(rules: Rules) -> Ties:
    """Return what a shop prefers among equally cheap ways to cut its sticks.

    Examples
    --------
    >>> stick_ties(Rules(fewer_patterns=Preference.IGNORE)).few_patterns
    False
    """
    return Ties(
        least_length=rules.shorter_sticks is Preference.PREFER,
        useful_offcuts=rules.useful_offcuts is Preference.PREFER,
        few_patterns=rules.fewer_patterns is Preference.PREFER,
        useful_offcut=rules.useful_offcut,
    )


def cutting_stock(part: RailPart, stock: Iterable[StockLength]) -> CuttingStock:
    """Return a part's rails, to be cut from this stock."""
    counts: Counter[int] = Counter()
    for run in part.runs:
        counts[run.length] += run.quantity
    lengths = sorted(counts, reverse=True)
    return CuttingStock(
        lengths=tuple(lengths),
        counts=tuple(counts[length] for length in lengths),
        kerf=joint_kerf(part.rules.kerf, part.corner),
        stock=tuple(stock),
    )


def _cost_unit(offers: Iterable[StickOffer], *, priced: bool) -> int:
    costs: list[int] = []
    for offer in offers:
        if offer.bought:
            costs.append((offer.price or 0) if priced else offer.length)
            costs.append(offer.bundle[1] if priced and offer.bundle else 0)
    return gcd(*costs) or 1


def _stock_length(offer: StickOffer, unit: int, *, priced: bool) -> StockLength:
    if not offer.bought:
        return StockLength(length=offer.usable, cost=0, limit=offer.limit)
    cost = (offer.price or 0) if priced else offer.length
    bundle = (offer.bundle[0], offer.bundle[1] // unit) if priced and offer.bundle else None
    return StockLength(length=offer.usable, cost=cost // unit, limit=offer.limit, bundle=bundle)


def labelled_sticks(
    part: RailPart, problem: CuttingStock, offers: Sequence[StickOffer], patterns: Iterable[StickPattern]
) -> Iterator[CutStick]:
    """Yield the sticks in cutting order, longest rails first, each rail with its label.

    Rails of one length are handed out in the order of the openings.

    Parameters
    ----------
    part
        The rails with their openings.
    problem
        The same rails as numbers; patterns count its ``lengths``.
    offers
        What each stock number of the patterns stands for.
    patterns
        The answer; every rail exactly once.
    """
    queues = _label_queues(part)
    in_saw_order = sorted(patterns, key=lambda pattern: (pattern.rails, pattern.stock))
    alike_sticks = chain.from_iterable(repeat(pattern, pattern.copies) for pattern in in_saw_order)
    for number, pattern in enumerate(alike_sticks, start=1):
        offer = offers[pattern.stock]
        rails = tuple(
            next(queues[problem.lengths[rail]]) for rail, times in sorted(pattern.rails) for _ in range(times)
        )
        spent = sum(rail.length + problem.kerf for rail in rails)
        offcut = Ticks(max(0, offer.length - offer.head_trim - spent))
        yield CutStick(
            number=number,
            stock=offer.stock,
            length=offer.length,
            rails=rails,
            offcut=offcut,
            kept=offcut >= max(1, part.rules.useful_offcut),
            bought=offer.bought,
            from_kit=offer.from_kit,
        )


def _label_queues(part: RailPart) -> dict[int, Iterator[CutRail]]:
    """Return, for each rail length, its rails with their labels; a screen's equal rails follow each other."""
    alike: dict[int, dict[str, list[RailRun]]] = defaultdict(lambda: defaultdict(list))
    for run in part.runs:
        alike[run.length][run.opening].append(run)
    return {length: _labelled(openings) for length, openings in alike.items()}


def _labelled(openings: Mapping[str, Sequence[RailRun]]) -> Iterator[CutRail]:
    for opening, runs in openings.items():
        in_copy_order = sorted(((copy, number) for number, run in enumerate(runs) for copy in run.copies))
        for copy, number in in_copy_order:
            run = runs[number]
            yield CutRail(opening=opening, copy=copy, place=run.place, length=run.length)
