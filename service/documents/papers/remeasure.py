"""The re-measure list: openings to visit again, in walking order, with room for the new readings."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from service.documents.frame_text import readings_text
from service.documents.papers.faces import Face
from service.documents.papers.paging import Block, heading, job_frame, text_lines, write_pages
from service.documents.papers.setup import PaperSetup
from service.documents.papers.tables import Fill, PaperColumn, PaperTable
from solver.openings import Opening
from solver.plan import Kind, Plan
from solver.problem import Problem


@dataclass(frozen=True, kw_only=True, slots=True)
class Visit:
    """An opening to measure again: where it is, what was read, and why it is doubted."""

    opening: str
    why: str
    building: str = ""
    floor: str = ""
    unit: str = ""
    room: str = ""
    read: str = ""


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


def visits(problem: Problem, plan: Plan) -> list[Visit]:
    """Return the openings that a plan's notices ask to look at again, each once with every reason."""
    reasons: dict[str, list[str]] = {}
    for notice in plan.notices:
        if notice.kind is Kind.REVIEW:
            for label in notice.openings:
                reasons.setdefault(label, []).append(notice.message)
    openings = {opening.label: opening for opening in problem.openings}
    return [visit_of(openings[label], "\n".join(why), problem) for label, why in reasons.items() if label in openings]


def visit_of(opening: Opening, why: str, problem: Problem) -> Visit:
    """Return the visit that an opening needs."""
    return Visit(
        opening=opening.label,
        why=why,
        building=opening.building,
        floor=opening.floor,
        unit=opening.unit,
        room=opening.room,
        read=readings_text(opening, problem.unit),
    )


def write_remeasure_list(
    problem: Problem, plan: Plan, path: Path, setup: PaperSetup, parked: Sequence[Visit] = ()
) -> None:
    """Write the list of openings to measure again: those of the plan's notices, and rows parked before planning.

    Sorted as one walks: by building, floor, unit and room, numbers by their size.
    """
    frame = job_frame(problem, setup, "measure again", setup.paper.landscape)
    route = sorted([*parked, *visits(problem, plan)], key=walking_order)
    write_pages(path, frame, _blocks(route, frame.width))


def walking_order(visit: Visit) -> tuple[list[tuple[int, int, str]], ...]:
    """Return the key that sorts visits as one walks.

    Examples
    --------
    >>> rooms = [Visit(opening="x", why="", floor=floor) for floor in ("10", "2", "G")]
    >>> [visit.floor for visit in sorted(rooms, key=walking_order)]
    ['2', '10', 'G']
    """
    return tuple(_by_number(word) for word in (visit.building, visit.floor, visit.unit, visit.room, visit.opening))


def _by_number(word: str) -> list[tuple[int, int, str]]:
    parts = re.findall(r"[0-9]+|[^0-9]+", word)
    return [(0, int(part), "") if part.isdecimal() else (1, 0, part.casefold()) for part in parts]


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
