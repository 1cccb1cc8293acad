"""Shop sheets for the cutting table: every crosscut of every roll in cutting order, with its rips and trims."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from service.documents.alike import runs_of_alike_crosscuts
from service.documents.amounts import long_text, shop_length
from service.documents.cut_marks import crosscut_marks
from service.documents.papers.crosscut_drawing import RollScale, crosscut_blocks
from service.documents.papers.faces import Face
from service.documents.papers.paging import Block, job_frame, text_lines, write_pages
from service.documents.papers.pen import Align, Pen
from service.documents.papers.setup import PaperSetup
from service.documents.plain_text import one_line
from service.documents.plan_index import PlanIndex
from solver.plan import CutRoll, Plan, RollGroup
from solver.problem import Problem


def write_mesh_sheets(problem: Problem, plan: Plan, path: Path, setup: PaperSetup) -> None:
    """Write the sheets a person at the cutting table works from.

    Each crosscut says how long to cut, where to rip measured from the trimmed
    edge, how long to trim each strip, and which blank is which screen's.
    """
    frame = job_frame(problem, setup, "mesh crosscuts", setup.paper.upright)
    index = PlanIndex(problem, plan)
    rolls = (
        block
        for group in plan.roll_groups
        for roll in group.rolls
        for block in _roll_blocks(group, roll, index, frame.width)
    )
    write_pages(path, frame, rolls)


def _roll_blocks(group: RollGroup, roll: CutRoll, index: PlanIndex, width: float) -> Iterator[Block]:
    if not roll.crosscuts:
        return
    rules = index.problem.rules
    scale = RollScale(
        width=width,
        roll_width=roll.width,
        longest=max(crosscut.length for crosscut in roll.crosscuts),
        selvage=rules.selvage_trim,
        unit=index.problem.unit,
    )
    head = _roll_head(group, roll, scale)
    ends = {crosscut.number: end for crosscut, _, end in crosscut_marks(roll, extra=rules.crosscut_extra)}
    sides = {kept.crosscut: kept for kept in group.leftovers if kept.roll == roll.number and kept.crosscut}
    for run in runs_of_alike_crosscuts(roll.crosscuts):
        paired = tuple((crosscut, ends[crosscut.number]) for crosscut in run)
        yield from crosscut_blocks(paired, index, scale, head, sides.get(run[0].number))
    yield text_lines([_rest(roll, scale)], 11, above=6)


def _roll_head(group: RollGroup, roll: CutRoll, scale: RollScale) -> Block:
    source = "" if roll.bought else ", from the rack"
    kit = "kit " if roll.from_kit else ""
    name = one_line(f"{group.mesh}  ·  roll {roll.number}")
    length = "running length" if roll.length is None else long_text(roll.length, scale.unit)
    words = f"{kit}{one_line(roll.stock)}{source}: {shop_length(roll.width, scale.unit)} wide, {length}"

    def draw(pen: Pen, x: float, top: float) -> None:
        pen.fitted(x, top - 20, name, 16, scale.width * 0.55, face=Face.BOLD)
        pen.fitted(x + scale.width, top - 20, words, 9, scale.width * 0.43, align=Align.RIGHT)
        pen.line(x, top - 26, x + scale.width, top - 26, 1.4)

    return Block(32, draw)


def _rest(roll: CutRoll, scale: RollScale) -> str:
    if roll.length is None:
        return f"used in all: {long_text(roll.used, scale.unit)}"
    if not roll.left:
        return "nothing left on the roll"
    left = f"{shop_length(roll.left, scale.unit)} x {shop_length(roll.width, scale.unit)}"
    return f"left on the roll: {left}, {'keep it and mark it' if roll.kept else 'scrap'}"
