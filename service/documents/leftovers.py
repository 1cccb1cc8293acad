"""What goes back on the rack: equal stick offcuts counted together, mesh pieces one by one."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

from solver.lengths import Ticks
from solver.plan import MeshLeftover, Plan


@dataclass(frozen=True, kw_only=True, slots=True)
class KeptOffcuts:
    """Equal offcuts of one profile and colour, and the sticks of the group (from 1) they come from."""

    group: int
    profile: str
    colour: str
    length: Ticks
    sticks: tuple[int, ...]


def kept_offcuts(plan: Plan) -> list[KeptOffcuts]:
    """Return the stick offcuts worth keeping, by profile and colour, longest first."""
    kept: list[KeptOffcuts] = []
    for number, group in enumerate(plan.stick_groups, start=1):
        by_length: dict[Ticks, list[int]] = defaultdict(list)
        for stick in group.sticks:
            if stick.kept:
                by_length[stick.offcut].append(stick.number)
        kept += [
            KeptOffcuts(
                group=number,
                profile=group.profile,
                colour=group.colour,
                length=length,
                sticks=tuple(by_length[length]),
            )
            for length in sorted(by_length, reverse=True)
        ]
    return kept


@dataclass(frozen=True, kw_only=True, slots=True)
class KeptMesh:
    """A piece of mesh worth keeping, its mesh, and the number (from 1) of its roll group."""

    group: int
    mesh: str
    piece: MeshLeftover


def kept_mesh(plan: Plan) -> list[KeptMesh]:
    """Return the mesh pieces worth keeping, in cutting order."""
    return [
        KeptMesh(group=number, mesh=group.mesh, piece=piece)
        for number, group in enumerate(plan.roll_groups, start=1)
        for piece in group.leftovers
    ]
