"""Shelves as a careful shop cuts them: longest blanks first, each beside others where it fits."""

from __future__ import annotations

from enum import Enum

import numpy as np

from solver.rolls.crosscuts import Crosscut
from solver.rolls.demand import Demand


class Rule(Enum):
    """Which shelf with room a blank goes on."""

    FIRST_FIT = "first fit"
    BEST_FIT = "best fit"


class Way(Enum):
    """Which way round a blank that may turn is laid."""

    WIDE = "shortest along the roll"
    NARROW = "narrowest across the roll"


def shelves(demand: Demand, width: int, rule: Rule, way: Way) -> list[tuple[Crosscut, int, int]] | None:
    """Return crosscuts on one roll width as (crosscut, width number, copies); None if a blank does not fit.

    Equal blanks are placed together, so the number of blanks does not matter.
    """
    across = int(demand.widths[width])
    order = _lays(demand, width, way)
    if order is None:
        return None
    # Equal shelves stand as one entry: [length, room left, copies, {lay: how many on each}].
    found: list[tuple[int, int, int, dict[int, int]]] = []
    for lay in order:
        need, size = int(demand.counts[demand.lay_kind[lay]]), int(demand.lay_across[lay])
        span = int(demand.start[lay])
        with_room = [place for place, shelf in enumerate(found) if shelf[1] >= size]
        if rule is Rule.BEST_FIT:
            with_room.sort(key=lambda place: (found[place][1], place))
        for place in with_room:
            if not need:
                break
            length, room, copies, held = found[place]
            each = min(room // size, need)
            full = min(copies, need // each)
            found[place] = (length, room - each * size, full, held | {lay: each})
            need -= each * full
            rest = copies - full
            if rest and need:
                found.append((length, room - need * size, 1, held | {lay: need}))
                rest, need = rest - 1, 0
            if rest:
                found.append((length, room, rest, held))
        each = min(across // size, need)
        if need:
            found.append((span, across - each * size, need // each, {lay: each}))
            if need % each:
                found.append((span, across - need % each * size, 1, {lay: need % each}))
    return [(_crosscut(demand, held), width, copies) for _, _, copies, held in found]


def _lays(demand: Demand, width: int, way: Way) -> list[int] | None:
    """Return one lay of each kind that fits the width, longest along the roll first."""
    chosen: dict[int, int] = {}
    for lay, kind in enumerate(demand.lay_kind.tolist()):
        fits = demand.lay_across[lay] <= demand.widths[width]
        if (
            fits
            and demand.lengths[demand.start[lay]] <= demand.reach[width]
            and (way is Way.NARROW or kind not in chosen)
        ):
            chosen[kind] = lay
    if len(chosen) < len(demand.counts):
        return None
    return sorted(chosen.values(), key=lambda lay: (-int(demand.lay_along[lay]), -int(demand.lay_across[lay]), lay))


def _crosscut(demand: Demand, held: dict[int, int]) -> Crosscut:
    lays = np.array(sorted(held))
    span = int(demand.start[lays].max())
    counts = sorted((int(demand.lay_kind[lay]), held[int(lay)]) for lay in lays)
    width = sum(int(demand.lay_across[lay]) * held[int(lay)] for lay in lays)
    return Crosscut(length=int(demand.lengths[span]), width=width, counts=tuple(counts), span=span)
