"""Whole crosscuts put on rolls: one possible plan in the demand's own numbers, and its cost."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from solver.rolls.crosscuts import Crosscut
from solver.rolls.demand import Demand
from solver.rolls.packing import Filling, packed


@dataclass(frozen=True, slots=True)
class FilledRoll:
    """``copies`` rolls of offer ``offer`` cut alike: pairs (crosscut, copies on each roll)."""

    offer: int
    crosscuts: tuple[tuple[Crosscut, int], ...]
    copies: int


Filled = tuple[FilledRoll, ...]


@dataclass(slots=True)
class Waiting:
    """Copies of a crosscut that are not on a roll yet."""

    crosscut: Crosscut
    copies: int


def cost_of(demand: Demand, rolls: Iterable[FilledRoll]) -> int:
    """Return what the rolls cost: whole rolls each, running length by the started step."""
    cost = 0
    running: Counter[int] = Counter()
    for roll in rolls:
        offer = demand.offers[roll.offer]
        if offer.running:
            running[roll.offer] += roll.copies * sum(crosscut.length * copies for crosscut, copies in roll.crosscuts)
        else:
            cost += offer.cost * roll.copies
    for number, total in running.items():
        offer = demand.offers[number]
        cost += -(-total // offer.length) * offer.cost
    return cost


def fill_rolls(
    demand: Demand, chosen: Iterable[tuple[Crosscut, int, int]], bought: Sequence[int]
) -> tuple[Filled, list[tuple[Crosscut, int]]]:
    """Put crosscuts on the rolls that were bought; what a width cannot hold goes to the next wider.

    Parameters
    ----------
    chosen
        Crosscuts as (crosscut, width number, copies).
    bought
        How many rolls (or steps of running length) of each offer there are, shape (n_offers,).

    Returns
    -------
    tuple
        The filled rolls, and the crosscuts that found no room as (crosscut, copies).
    """
    waiting: dict[int, dict[int, list[Waiting]]] = defaultdict(lambda: defaultdict(list))
    for crosscut, width, copies in chosen:
        waiting[width][crosscut.length].append(Waiting(crosscut, copies))
    filled: list[FilledRoll] = []
    over: list[tuple[Crosscut, int]] = []
    for width in range(len(demand.widths)):
        here = waiting[width]
        rolls = [
            (number, offer.length * (bought[number] if offer.running else 1), 1 if offer.running else bought[number])
            for number, offer in enumerate(demand.offers)
            if offer.width == width and bought[number] > 0
        ]
        # Short rolls first: what they cannot hold still fits the long ones and the running length.
        rolls.sort(key=lambda roll: (demand.offers[roll[0]].running, roll[1], roll[0]))
        lengths = {length: sum(entry.copies for entry in entries) for length, entries in here.items()}
        fillings, left = packed(lengths, rolls)
        for filling in fillings:
            filled += handed_out(filling, here)
        if left and width + 1 < len(demand.widths):
            for length, entries in here.items():
                waiting[width + 1][length] += [entry for entry in entries if entry.copies]
        elif left:
            over = [(entry.crosscut, entry.copies) for entries in here.values() for entry in entries if entry.copies]
    return tuple(filled), over


def handed_out(filling: Filling, waiting: dict[int, list[Waiting]]) -> list[FilledRoll]:
    """Take the crosscuts that a filling calls for; rolls with the same crosscuts stay together."""
    rolls = []
    left = filling.copies
    while left:
        taken: list[tuple[Crosscut, int]] = []
        times = min([left] + [max(1, waiting[length][0].copies // count) for length, count in filling.taken])
        for length, count in filling.taken:
            need = count
            while need:
                first = waiting[length][0]
                each = min(need, first.copies // times)
                taken.append((first.crosscut, each))
                first.copies -= each * times
                need -= each
                if not first.copies:
                    waiting[length].pop(0)
        rolls.append(FilledRoll(offer=filling.offer, crosscuts=tuple(taken), copies=times))
        left -= times
    return rolls
