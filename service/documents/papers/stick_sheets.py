"""Shop sheets for the saw: every stick to scale in cutting order, those cut alike drawn once with a count."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from service.documents.alike import runs_of_alike_sticks
from service.documents.amounts import shop_length
from service.documents.papers.faces import Face, text_width
from service.documents.papers.paging import Block, job_frame, write_pages
from service.documents.papers.pen import Align, Pen
from service.documents.papers.setup import PaperSetup
from service.documents.papers.stick_drawing import StickScale, stick_blocks
from service.documents.plain_text import one_line
from service.documents.plan_index import PlanIndex
from solver.plan import Plan, StickGroup
from solver.problem import Problem


def write_stick_sheets(problem: Problem, plan: Plan, path: Path, setup: PaperSetup) -> None:
    """Write the sheets a person at the saw works from.

    Each stick shows what to cut off first, every rail with its length, its name
    and where its end lies measured from the stick's first end (for a stop block
    or a tape), and what is left to keep or to throw away.
    """
    frame = job_frame(problem, setup, "stick cuts", setup.paper.landscape)
    index = PlanIndex(problem, plan)
    groups = (block for group in plan.stick_groups for block in _group_blocks(group, index, frame.width))
    write_pages(path, frame, groups)


def _group_blocks(group: StickGroup, index: PlanIndex, width: float) -> Iterator[Block]:
    if not group.sticks:
        return
    longest = max(stick.length for stick in group.sticks)
    scale = StickScale(width=width, longest=longest, kerf=group.joint_kerf, unit=index.problem.unit)
    head = _group_head(group, scale)
    for run in runs_of_alike_sticks(group.sticks):
        yield from stick_blocks(run, index, scale, head)


def _group_head(group: StickGroup, scale: StickScale) -> Block:
    name = one_line(f"{group.profile} {group.colour}")
    kerf = shop_length(group.joint_kerf, scale.unit)
    words = f"{len(group.sticks)} sticks  ·  the saw takes {kerf} a cut  ·  saw behind the mark, check the first piece"

    def draw(pen: Pen, x: float, top: float) -> None:
        room = scale.width - text_width(words, Face.PLAIN, 9) - 16
        pen.fitted(x, top - 20, name, 18, room, face=Face.BOLD)
        pen.text(x + scale.width, top - 20, words, 9, align=Align.RIGHT)
        pen.line(x, top - 26, x + scale.width, top - 26, 1.4)

    return Block(32, draw)
