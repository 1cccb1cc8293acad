"""A possible plan written out with the problem's own blanks and lengths."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

from solver.rolls.crosscuts import Crosscut
from solver.rolls.demand import Demand
from solver.rolls.filled import Filled, FilledRoll
from solver.rolls.model import NestedCrosscut, NestedRoll, NestedStrip

_Strips = tuple[tuple[int, tuple[tuple[int, int], ...]], ...]
"""Strips as (width in width units, ((lay, how many), ...)), equal strips one by one."""


class _Stock:
    """Blanks of the problem that are not written yet, kind by kind."""

    def __init__(self, demand: Demand) -> None:
        self._left = [[list(member) for member in kind.members] for kind in demand.kinds]

    def alike(self, kind: int) -> int:
        """Return how many blanks of the same number come next."""
        return int(self._left[kind][0][2])

    def take(self, kind: int, count: int) -> list[tuple[int, bool, int]]:
        """Take blanks as (blank number, whether it stands the other way, how many)."""
        taken = []
        while count:
            first = self._left[kind][0]
            each = min(count, int(first[2]))
            taken.append((int(first[0]), bool(first[1]), each))
            first[2] = int(first[2]) - each
            count -= each
            if not first[2]:
                self._left[kind].pop(0)
        return taken


def written(demand: Demand, filled: Filled) -> tuple[NestedRoll, ...]:
    """Return the plan's rolls; running length of one offer becomes one roll, longest crosscut first."""
    stock = _Stock(demand)
    rolls = []
    for roll in _joined(demand, filled):
        left = roll.copies
        while left:
            need: Counter[int] = Counter()
            for crosscut, copies in roll.crosscuts:
                for kind, count in crosscut.counts:
                    need[kind] += count * copies
            times = min([left] + [stock.alike(kind) // count for kind, count in need.items()])
            times = max(1, times)
            crosscuts: list[NestedCrosscut] = []
            for crosscut, copies in sorted(roll.crosscuts, key=lambda entry: (-entry[0].length, entry[0].counts)):
                crosscuts += _crosscuts(demand, stock, crosscut, copies, times)
            offer = demand.offers[roll.offer].number
            rolls.append(NestedRoll(roll=offer, crosscuts=tuple(crosscuts), copies=times))
            left -= times
    return tuple(rolls)


def _joined(demand: Demand, filled: Filled) -> list[FilledRoll]:
    """Join the crosscuts of each running offer to one roll."""
    running: dict[int, Counter[Crosscut]] = {}
    rolls = []
    for roll in sorted(filled, key=lambda roll: roll.offer):
        if demand.offers[roll.offer].running:
            tally = running.setdefault(roll.offer, Counter())
            for crosscut, copies in roll.crosscuts:
                tally[crosscut] += copies * roll.copies
        else:
            rolls.append(roll)
    rolls += [FilledRoll(offer=number, crosscuts=tuple(tally.items()), copies=1) for number, tally in running.items()]
    return [replace(roll, crosscuts=tuple(roll.crosscuts)) for roll in rolls if roll.crosscuts]


def _crosscuts(demand: Demand, stock: _Stock, crosscut: Crosscut, copies: int, rolls: int) -> list[NestedCrosscut]:
    """Write ``copies`` of a crosscut on each of ``rolls`` equal rolls."""
    found = []
    length = (crosscut.length - demand.extra) * demand.length_unit
    left = copies
    while left:
        # As many equal crosscuts as the blanks that come next allow.
        times = max(1, min([left] + [stock.alike(kind) // (count * rolls) for kind, count in crosscut.counts]))
        handed = {
            kind: _per_copy(stock.take(kind, count * times * rolls), times * rolls) for kind, count in crosscut.counts
        }
        strips: list[NestedStrip] = []
        for width, lays in crosscut.strips or _side_by_side(demand, crosscut):
            blanks: list[tuple[int, bool, int]] = []
            for lay, count in lays:
                turned = bool(demand.lay_turned[lay])
                for number, other, each in _drawn(handed[int(demand.lay_kind[lay])], count):
                    blanks.append((number, turned != other, each))
            strips.append(NestedStrip(width=width * demand.width_unit, blanks=tuple(blanks)))
        found.append(NestedCrosscut(length=length, strips=tuple(strips), copies=times))
        left -= times
    return found


def _per_copy(taken: list[tuple[int, bool, int]], copies: int) -> list[list[int]]:
    """Return what one copy gets: more than one blank number only if there is a single copy."""
    return [[number, int(other), each // copies] for number, other, each in taken]


def _drawn(handed: list[list[int]], count: int) -> list[tuple[int, bool, int]]:
    drawn = []
    while count:
        first = handed[0]
        each = min(count, first[2])
        drawn.append((first[0], bool(first[1]), each))
        first[2] -= each
        count -= each
        if not first[2]:
            handed.pop(0)
    return drawn


def _side_by_side(demand: Demand, crosscut: Crosscut) -> _Strips:
    """Return the strips of a two-stage crosscut: one blank each, in the way round that is narrowest."""
    lays = {int(demand.lay_kind[lay]): int(lay) for lay in demand.lays_at(crosscut.span)}
    strips = []
    for kind, count in crosscut.counts:
        lay = lays[kind]
        strips += [(int(demand.lay_across[lay]), ((lay, 1),))] * count
    return tuple(sorted(strips, reverse=True))
