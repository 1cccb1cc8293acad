"""Solve a mesh part: numbers out to the nesting solver, labelled crosscuts back."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Sequence
from itertools import chain, count, repeat
from math import gcd

from solver.errors import ProblemError
from solver.lengths import Ticks
from solver.limits import Limits
from solver.parts.mesh_leftovers import mesh_leftovers
from solver.parts.offers import RollOffer, roll_offers
from solver.parts.record import BlankPart, BlankRun
from solver.parts.shortage import roll_shortage
from solver.plan import ByHand, Crosscut, CutBlank, CutRoll, Proof, RollGroup, Strip
from solver.rolls import by_hand, nest
from solver.rolls.model import Blank, NestedCrosscut, NestedRoll, RollNesting, RollWidth

BLANKS_BY_HAND = "longest blank first side by side, all from rolls of the best single width"


def roll_group(part: BlankPart, limits: Limits) -> RollGroup:
    """Return the rolls of one mesh with their labelled crosscuts, in cutting order; every facade is decided.

    Raises
    ------
    ProblemError
        If the rolls on sale and on hand do not suffice.
    """
    offers = roll_offers(part)
    priced = all(offer.price is not None for offer in offers if offer.bought)
    unit = gcd(*(_cost(offer, priced=priced) for offer in offers if offer.bought)) or 1
    if not offers:
        raise ProblemError((roll_shortage(part, offers),))
    problem = roll_nesting(part, [_roll_width(offer, unit, priced=priced) for offer in offers])
    try:
        answer = nest(problem, limits.counting(unit))
    except ProblemError as error:
        raise ProblemError((roll_shortage(part, offers),)) from error
    hand = by_hand(problem)
    rolls = tuple(labelled_rolls(part, problem, offers, answer.rolls))
    return RollGroup(
        mesh=part.mesh,
        rolls=rolls,
        leftovers=tuple(chain.from_iterable(mesh_leftovers(roll, part.rules) for roll in rolls)),
        proof=Proof(
            measure="cents" if priced else "square ticks",
            cost=answer.cost * unit,
            bound=answer.bound * unit,
            ending=answer.ending,
        ),
        by_hand=ByHand(words=BLANKS_BY_HAND, cost=None if hand is None else hand * unit),
    )


def roll_nesting(part: BlankPart, rolls: Iterable[RollWidth]) -> RollNesting:
    """Return a part's blanks, to be cut from these rolls."""
    counts: Counter[_Lie] = Counter()
    for run in part.runs:
        counts[_lie(part, run)] += run.quantity
    return RollNesting(
        blanks=tuple(
            Blank(across=across, along=along, count=counts[across, along, turned], turns=part.turns)
            for across, along, turned in _lies(counts)
        ),
        rolls=tuple(rolls),
        crosscut_extra=part.rules.crosscut_extra,
        longest_crosscut=part.rules.longest_crosscut,
        stages=part.rules.mesh_stages,
        # A side strip keeps its selvage.
        useful_width=max(0, part.rules.useful_mesh_width - part.rules.selvage_trim),
        useful_length=part.rules.useful_mesh_length,
    )


_Lie = tuple[int, int, bool]
"""Across and along the roll as a blank is given to the nesting, and whether that is turned."""


def _lie(part: BlankPart, run: BlankRun) -> _Lie:
    """Return how the blanks of a run lie; where they may turn freely, upright."""
    if part.one_way and dict(part.ways).get(run.facade, False):
        return (run.height, run.width, True)
    return (run.width, run.height, False)


def _lies(lies: Iterable[_Lie]) -> list[_Lie]:
    return sorted(lies, key=lambda lie: (-lie[1], -lie[0], lie[2]))


def _cost(offer: RollOffer, *, priced: bool) -> int:
    """Cost of one roll or one selling step: its price, or its area where the job has no prices."""
    if priced:
        return offer.price or 0
    return offer.width * (offer.length if offer.length is not None else offer.step or 1)


def _roll_width(offer: RollOffer, unit: int, *, priced: bool) -> RollWidth:
    if not offer.bought:
        return RollWidth(width=offer.usable, length=offer.length, cost=0, limit=offer.limit)
    cost = _cost(offer, priced=priced) // unit
    return RollWidth(width=offer.usable, length=offer.length, cost=cost, step=offer.step or 1, limit=offer.limit)


def labelled_rolls(
    part: BlankPart, problem: RollNesting, offers: Sequence[RollOffer], nested: Iterable[NestedRoll]
) -> Iterator[CutRoll]:
    """Yield the rolls in cutting order, each blank with its label.

    Blanks of one size are handed out in the order of the openings.

    Parameters
    ----------
    part
        The blanks with their openings.
    problem
        The same blanks as numbers; nested rolls count its ``blanks``.
    offers
        What each roll number stands for.
    nested
        The answer; every blank exactly once.
    """
    queues = _label_queues(part)
    numbers = count(1)
    alike_rolls = chain.from_iterable(repeat(roll, roll.copies) for roll in nested)
    for number, roll in enumerate(alike_rolls, start=1):
        offer = offers[roll.roll]
        crosscuts = tuple(
            _crosscut(next(numbers), cut, problem, queues) for cut in roll.crosscuts for _ in range(cut.copies)
        )
        used = Ticks(sum(cut.length + part.rules.crosscut_extra for cut in crosscuts))
        left = Ticks(offer.length - used) if offer.length is not None else Ticks(0)
        useful = offer.width >= part.rules.useful_mesh_width and left >= max(1, part.rules.useful_mesh_length)
        yield CutRoll(
            number=number,
            stock=offer.stock,
            width=offer.width,
            length=offer.length,
            crosscuts=crosscuts,
            used=used,
            left=left,
            kept=useful,
            bought=offer.bought,
            from_kit=offer.from_kit,
        )


def _label_queues(part: BlankPart) -> list[Iterator[tuple[str, int, bool]]]:
    """Return, for each blank number, an iterator over opening, copy, and whether it lies turned as it is given."""
    labels: dict[_Lie, list[tuple[str, int, bool]]] = defaultdict(list)
    for run in part.runs:
        lie = _lie(part, run)
        labels[lie].extend((run.opening, copy, lie[2]) for copy in run.copies)
    return [iter(labels[lie]) for lie in _lies(labels)]


def _crosscut(
    number: int, cut: NestedCrosscut, problem: RollNesting, queues: list[Iterator[tuple[str, int, bool]]]
) -> Crosscut:
    strips = []
    for strip in cut.strips:
        blanks = []
        for index, turned, times in strip.blanks:
            size = problem.blanks[index]
            across, along = (size.along, size.across) if turned else (size.across, size.along)
            for _ in range(times):
                opening, copy, given_turned = next(queues[index])
                blanks.append(
                    CutBlank(
                        opening=opening,
                        copy=copy,
                        across=Ticks(across),
                        along=Ticks(along),
                        turned=turned or given_turned,
                    )
                )
        strips.append(Strip(width=Ticks(strip.width), blanks=tuple(blanks)))
    return Crosscut(number=number, length=Ticks(cut.length), strips=tuple(strips))
