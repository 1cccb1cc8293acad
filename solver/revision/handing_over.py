"""A job's own leftovers that went over to the rack of all jobs: they are struck from what the job has on hand.

A piece that says which stick, roll or crosscut it is the rest of proves that this
is cut, and is that rest whatever became of its size; any other is known by its size.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import replace

from solver.catalogue import Catalogue, RollStock, StickStock
from solver.events import CrosscutCut, StickCut
from solver.handed_over import HandedOver
from solver.plan import Plan
from solver.revision.leftover_names import OWN

Rest = tuple[str, str, int, int]
"""Profile and colour of a stick, or a mesh and nothing; number of the stick or roll; crosscut of a side strip, or 0."""


def rest_of(piece: HandedOver) -> Rest:
    """Return what a piece is the rest of."""
    return (piece.profile or piece.mesh, piece.colour, piece.number, piece.crosscut)


def proven_cuts(plan: Plan, pieces: Iterable[HandedOver]) -> Iterator[StickCut | CrosscutCut]:
    """Yield what must be cut by now, since somebody holds what it left over.

    The offcut of a stick proves the stick, a side strip its crosscut, the end of a
    roll every crosscut of the roll.
    """
    rests = {rest_of(piece) for piece in pieces if piece.number}
    for group in plan.stick_groups:
        for stick in group.sticks:
            if (group.profile, group.colour, stick.number, 0) in rests:
                yield StickCut(profile=group.profile, colour=group.colour, number=stick.number)
    for mesh_group in plan.roll_groups:
        for roll in mesh_group.rolls:
            for cut in roll.crosscuts:
                if rests & {(mesh_group.mesh, "", roll.number, 0), (mesh_group.mesh, "", roll.number, cut.number)}:
                    yield CrosscutCut(mesh=mesh_group.mesh, number=cut.number)


class HandedRests:
    """Which rests somebody else holds; those that are asked for are ``found``."""

    def __init__(self, pieces: Iterable[HandedOver]) -> None:
        self._by_rest: dict[Rest, list[HandedOver]] = defaultdict(list)
        for piece in pieces:
            if piece.number:
                self._by_rest[rest_of(piece)].append(piece)
        self.found: list[HandedOver] = []

    def has(self, kind: str, colour: str, number: int, crosscut: int = 0) -> bool:
        """Return whether a rest is handed over, and count it as found if so."""
        there = self._by_rest.pop((kind, colour, number, crosscut), [])
        self.found += there
        return bool(there)


def struck(catalogue: Catalogue, pieces: Iterable[HandedOver]) -> tuple[Catalogue, tuple[HandedOver, ...]]:
    """Return the stock lists without these pieces, and which of them were there.

    One piece strikes one, and only of the job's own leftovers. A piece that is
    not there is not cut yet; it waits for the revision that cuts it.
    """
    sticks = {stick.name: stick for stick in catalogue.sticks}
    rolls = {roll.name: roll for roll in catalogue.rolls}
    found = []
    for piece in pieces:
        stick = next((each for each in sticks.values() if _is_stick(piece, each)), None)
        roll = next((each for each in rolls.values() if _is_roll(piece, each)), None)
        if stick is not None:
            sticks[stick.name] = replace(stick, on_hand=stick.on_hand - 1)
        elif roll is not None:
            rolls[roll.name] = replace(roll, on_hand=roll.on_hand - 1)
        else:
            continue
        found.append(piece)
    here = replace(
        catalogue,
        sticks=tuple(stick for stick in sticks.values() if stick.on_hand or not stick.leftover),
        rolls=tuple(roll for roll in rolls.values() if roll.on_hand or not roll.leftover),
    )
    return here, tuple(found)


def _is_stick(piece: HandedOver, stick: StickStock) -> bool:
    own = stick.leftover and stick.on_hand > 0 and stick.name.startswith(OWN)
    ends = stick.both_ends_clean
    return own and (piece.profile, piece.colour, piece.length, piece.both_ends_clean) == (
        stick.profile,
        stick.colour,
        stick.length,
        ends,
    )


def _is_roll(piece: HandedOver, roll: RollStock) -> bool:
    own = roll.leftover and roll.on_hand > 0 and roll.name.startswith(OWN)
    return own and (piece.mesh, piece.width, piece.length) == (roll.mesh, roll.width, roll.length)
