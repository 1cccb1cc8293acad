"""What goes back on the rack: equal stick offcuts counted together, mesh pieces one by one."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

from solver.lengths import Ticks
from solver.plan import MeshLeftover, Plan


@dataclass(frozen=True, kw_only=True, slots=True)
class KeptOffcuts:
    """Equal offcuts of one profile and colour, and the sticks they come from."""

    profile: str
    colour: str
    length: Ticks
    sticks: tuple[int, ...]


def kept_offcuts(plan: Plan) -> list[KeptOffcuts]:
    """Return the stick offcuts worth keeping, by profile and colour, longest first."""
    kept: list[KeptOffcuts] = []
    for group in plan.stick_groups:
        by_length: dict[Ticks, list[int]] = defaultdict(list)
        for stick in group.sticks:
            if stick.kept:
                by_length[stick.offcut].append(stick.number)
        for length in sorted(by_length, reverse=True):
            numbers = tuple(by_length[length])
            kept.append(KeptOffcuts(profile=group.profile, colour=group.colour, length=length, sticks=numbers))
    return kept


def kept_mesh(plan: Plan) -> list[tuple[str, MeshLeftover]]:
    """Return the mesh pieces worth keeping, each behind its mesh."""
    return [(group.mesh, leftover) for group in plan.roll_groups for leftover in group.leftovers]
