"""A job's own leftovers that went over to the rack of all jobs: they are struck from what the job has on hand."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from solver.catalogue import Catalogue, RollStock, StickStock
from solver.handed_over import HandedOver
from solver.revision.leftover_names import OWN


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
