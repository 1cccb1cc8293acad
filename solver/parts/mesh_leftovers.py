"""What is worth keeping of a cut roll."""

from __future__ import annotations

from collections.abc import Iterator

from solver.lengths import Ticks
from solver.plan import CutRoll, MeshLeftover
from solver.rules import Rules


def mesh_leftovers(roll: CutRoll, rules: Rules) -> Iterator[MeshLeftover]:
    """Yield the roll end and the wide side strips worth keeping; a side strip keeps its selvage."""
    if roll.kept:
        yield MeshLeftover(stock=roll.stock, roll=roll.number, crosscut=None, width=roll.width, length=roll.left)
    for cut in roll.crosscuts:
        width = Ticks(roll.width - rules.selvage_trim - sum(strip.width for strip in cut.strips))
        if width >= max(1, rules.useful_mesh_width) and cut.length >= max(1, rules.useful_mesh_length):
            yield MeshLeftover(stock=roll.stock, roll=roll.number, crosscut=cut.number, width=width, length=cut.length)
