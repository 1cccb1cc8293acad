"""The re-measure list: openings to visit again, in walking order, with room for the new readings."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

from service.documents.papers.faces import Face
from service.documents.papers.paging import Block, heading, job_frame, text_lines, write_pages
from service.documents.papers.setup import PaperSetup
from service.documents.papers.tables import Fill, PaperColumn, PaperTable
from service.documents.visits import Visit, visits
from solver.plan import Plan
from solver.problem import Problem

_COLUMNS = (
    PaperColumn(heading="Done", share=6, fill=Fill.TICK),
    PaperColumn(heading="Floor", share=5),
    PaperColumn(heading="Unit", share=7, face=Face.BOLD),
    PaperColumn(heading="Room", share=8),
    PaperColumn(heading="Opening", share=11, face=Face.BOLD),
    PaperColumn(heading="Read before", share=13),
    PaperColumn(heading="Why", share=22),
    *(
        PaperColumn(heading=words, share=7, fill=Fill.BLANK)
        for words in ("width top", "width middle", "width bottom", "height left", "height middle", "height right")
    ),
)


def write_remeasure_list(problem: Problem, plan: Plan, path: Path, setup: PaperSetup) -> None:
    """Write the list of openings to measure again, sorted as one walks: by building, floor, unit and room."""
    frame = job_frame(problem, setup, "measure again", setup.paper.landscape)
    write_pages(path, frame, _blocks(visits(problem, plan), frame.width))


def _blocks(route: Sequence[Visit], width: float) -> Iterator[Block]:
    if not route:
        yield text_lines(["Nothing to measure again."], 12)
        return
    yield text_lines(
        [
            "Read each side at three places, from inside if you can. Never lean out; a ladder stands firm and is held.",
        ],
        9.5,
    )
    building = None
    table = PaperTable(_COLUMNS, width)
    for visit in route:
        if visit.building != building:
            building = visit.building
            table = PaperTable(_COLUMNS, width, (heading(building or "no building named", 13),))
        cells = ("", visit.floor, visit.unit, visit.room, visit.opening, visit.read, visit.why)
        yield table.row((*cells, *[""] * 6), least_height=30)
