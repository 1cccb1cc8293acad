"""Solve a mesh part: numbers out to the nesting solver, labelled crosscuts back."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator
from itertools import chain, count, repeat
from math import gcd

from solver.catalogue import RollStock
from solver.lengths import Ticks
from solver.limits import Limits
from solver.parts.record import BlankPart
from solver.plan import ByHand, Crosscut, CutBlank, CutRoll, MeshLeftover, Proof, RollGroup, Strip
from solver.rolls import Blank, NestedCrosscut, NestingPlan, RollNesting, RollWidth, by_hand, nest
from solver.rules import Rules


def usable_width(roll: RollStock, selvage_trim: Ticks) -> Ticks:
    """Return the width of a roll between its selvages."""
    return Ticks(roll.width - 2 * selvage_trim)


def roll_group(part: BlankPart, limits: Limits) -> RollGroup:
    """Return the rolls of one mesh with their labelled crosscuts, in cutting order.

    Raises
    ------
    ProblemError
        If the rolls on sale and on hand do not suffice.
    """
    counts: Counter[tuple[int, int]] = Counter()
    for run in part.runs:
        counts[run.width, run.height] += run.quantity
    sizes = sorted(counts, key=lambda size: (-size[1], -size[0]))
    offers = _offers(part)
    priced = all(roll.price is not None for roll, bought in offers if bought)
    unit = _cost_unit(offers, priced=priced)
    problem = RollNesting(
        blanks=tuple(Blank(across=w, along=h, count=counts[w, h], turns=part.turns) for w, h in sizes),
        rolls=tuple(_roll_width(roll, part.rules, unit, bought=bought, priced=priced) for roll, bought in offers),
        crosscut_extra=part.rules.crosscut_extra,
        longest_crosscut=part.rules.longest_crosscut,
    )
    answer = nest(problem, limits)
    hand = by_hand(problem)
    rolls = tuple(_rolls(part, problem, answer, offers))
    return RollGroup(
        mesh=part.mesh,
        rolls=rolls,
        leftovers=tuple(chain.from_iterable(_leftovers(roll, part.rules) for roll in rolls)),
        proof=Proof(
            measure="cents" if priced else "square ticks",
            cost=answer.cost * unit,
            bound=answer.bound * unit,
            ending=answer.ending,
        ),
        by_hand=ByHand(
            words="longest blank first side by side, all from rolls of the best single width",
            cost=None if hand is None else hand * unit,
        ),
    )


def _offers(part: BlankPart) -> list[tuple[RollStock, bool]]:
    """Pair every roll wide enough for some blank with whether it is bought; the rack comes first."""
    narrowest = min(min(run.width, run.height) if part.turns else run.width for run in part.runs)
    useful = [roll for roll in part.rolls if usable_width(roll, part.rules.selvage_trim) >= narrowest]
    rack = [(roll, False) for roll in useful if roll.on_hand]
    return rack + [(roll, True) for roll in useful if roll.on_sale]


def _cost_unit(offers: list[tuple[RollStock, bool]], *, priced: bool) -> int:
    return gcd(*(_cost(roll, priced=priced) for roll, bought in offers if bought)) or 1


def _cost(roll: RollStock, *, priced: bool) -> int:
    """Cost of one roll or one selling step: its price, or its area where the job has no prices."""
    if priced:
        return roll.price or 0
    return roll.width * (roll.length if roll.length is not None else roll.step or 1)


def _roll_width(roll: RollStock, rules: Rules, unit: int, *, bought: bool, priced: bool) -> RollWidth:
    width = usable_width(roll, rules.selvage_trim)
    if not bought:
        return RollWidth(width=width, length=roll.length, cost=0, limit=roll.on_hand)
    cost = _cost(roll, priced=priced) // unit
    return RollWidth(width=width, length=roll.length, cost=cost, step=roll.step or 1, limit=roll.limit)


def _rolls(
    part: BlankPart, problem: RollNesting, answer: NestingPlan, offers: list[tuple[RollStock, bool]]
) -> Iterator[CutRoll]:
    """Give every blank its label: blanks of one size are handed out in the order of the openings."""
    queues = _label_queues(part, problem)
    numbers = count(1)
    rolls = chain.from_iterable(repeat(nested, nested.copies) for nested in answer.rolls)
    for number, nested in enumerate(rolls, start=1):
        roll, bought = offers[nested.roll]
        crosscuts = tuple(
            _crosscut(next(numbers), cut, problem, queues) for cut in nested.crosscuts for _ in range(cut.copies)
        )
        used = Ticks(sum(cut.length + part.rules.crosscut_extra for cut in crosscuts))
        left = Ticks(roll.length - used) if roll.length is not None else Ticks(0)
        useful = roll.width >= part.rules.useful_mesh_width and left >= max(1, part.rules.useful_mesh_length)
        yield CutRoll(
            number=number,
            stock=roll.name,
            width=roll.width,
            length=roll.length,
            crosscuts=crosscuts,
            used=used,
            left=left,
            kept=useful,
            bought=bought,
        )


def _label_queues(part: BlankPart, problem: RollNesting) -> list[Iterator[tuple[str, int]]]:
    """Return, for each blank number, an iterator over (opening, copy)."""
    labels: dict[tuple[int, int], list[tuple[str, int]]] = defaultdict(list)
    for run in part.runs:
        labels[run.width, run.height].extend((run.opening, copy) for copy in range(1, run.quantity + 1))
    return [iter(labels[blank.across, blank.along]) for blank in problem.blanks]


def _crosscut(
    number: int, cut: NestedCrosscut, problem: RollNesting, queues: list[Iterator[tuple[str, int]]]
) -> Crosscut:
    strips = []
    for strip in cut.strips:
        blanks = []
        for index, turned, times in strip.blanks:
            size = problem.blanks[index]
            across, along = (size.along, size.across) if turned else (size.across, size.along)
            for _ in range(times):
                opening, copy = next(queues[index])
                blanks.append(
                    CutBlank(opening=opening, copy=copy, across=Ticks(across), along=Ticks(along), turned=turned)
                )
        strips.append(Strip(width=Ticks(strip.width), blanks=tuple(blanks)))
    return Crosscut(number=number, length=Ticks(cut.length), strips=tuple(strips))


def _leftovers(roll: CutRoll, rules: Rules) -> Iterator[MeshLeftover]:
    """Yield the roll end and the wide side strips worth keeping; a side strip keeps its selvage."""
    if roll.kept:
        yield MeshLeftover(stock=roll.stock, roll=roll.number, crosscut=None, width=roll.width, length=roll.left)
    for cut in roll.crosscuts:
        width = Ticks(roll.width - rules.selvage_trim - sum(strip.width for strip in cut.strips))
        if width >= max(1, rules.useful_mesh_width) and cut.length >= max(1, rules.useful_mesh_length):
            yield MeshLeftover(stock=roll.stock, roll=roll.number, crosscut=cut.number, width=width, length=cut.length)
