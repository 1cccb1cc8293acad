"""The size sign-off sheet: every size stands here once more, to be signed before anything is cut."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from service.documents.amounts import shop_length, shop_text
from service.documents.frame_text import place_of, readings_text
from service.documents.papers.faces import Face
from service.documents.papers.paging import Block, job_frame, text_lines, write_pages
from service.documents.papers.pen import Pen
from service.documents.papers.setup import PaperSetup
from service.documents.papers.tables import Fill, PaperColumn, PaperTable
from service.documents.plan_index import PlanIndex
from solver.lengths import Unit
from solver.openings import Opening
from solver.plan import Plan, Screen
from solver.problem import Problem

_COLUMNS = (
    PaperColumn(heading="OK", share=3, fill=Fill.TICK),
    PaperColumn(heading="Opening", share=14, face=Face.BOLD),
    PaperColumn(heading="Qty", share=4, fill=Fill.NUMBER),
    PaperColumn(heading="Where, order", share=15),
    PaperColumn(heading="Read", share=18),
    PaperColumn(heading="Measured from", share=13),
    PaperColumn(heading="Frame width", share=10.5, fill=Fill.NUMBER, face=Face.BOLD, size=12),
    PaperColumn(heading="Frame height", share=10.5, fill=Fill.NUMBER, face=Face.BOLD, size=12),
    PaperColumn(heading="Profile, colour, mesh, mounting", share=20),
    PaperColumn(heading="Remark", share=11, fill=Fill.BLANK),
)


def write_sign_off(problem: Problem, plan: Plan, path: Path, setup: PaperSetup) -> None:
    """Write the sheet on which a person confirms every size before cutting starts."""
    frame = job_frame(problem, setup, "sizes to sign off", setup.paper.landscape)
    write_pages(path, frame, _blocks(PlanIndex(problem, plan), frame.width))


def _blocks(index: PlanIndex, width: float) -> Iterator[Block]:
    yield text_lines(
        [
            "Check every line against the survey before anything is cut. Finished frame sizes; what is cut cannot be "
            "made longer.",
        ],
        9.5,
    )
    table = PaperTable(_COLUMNS, width)
    for screen in index.plan.screens:
        yield table.row(_cells(screen, index.opening(screen.opening), index.problem.unit))
    yield _signature(index, width)


def _cells(screen: Screen, opening: Opening | None, unit: Unit) -> tuple[str, ...]:
    made_of = ", ".join(word for word in (screen.profile, screen.colour, screen.mesh) if word)
    if opening is None:
        where = read = datum = ""
    else:
        where = "\n".join(word for word in (place_of(opening), opening.order) if word)
        read = readings_text(opening, unit)
        datum = opening.width_datum.value
        if opening.height_datum is not opening.width_datum:
            datum = f"width: {datum}\nheight: {opening.height_datum.value}"
        made_of = f"{made_of}\n{opening.mounting.value}"
    sizes = (shop_text(screen.frame_width, unit), shop_text(screen.frame_height, unit))
    return ("", screen.opening, str(screen.quantity), where, read, datum, *sizes, made_of, "")


def _signature(index: PlanIndex, width: float) -> Block:
    screens = sum(screen.quantity for screen in index.plan.screens)
    kerf = shop_length(index.problem.rules.kerf, index.problem.unit)
    words = f"{len(index.plan.screens)} openings, {screens} screens. Released for cutting with a saw cut of {kerf}:"

    def draw(pen: Pen, x: float, top: float) -> None:
        pen.text(x, top - 22, words, 11, face=Face.BOLD)
        for at, word in enumerate(("name", "date", "signature")):
            left = x + at * width / 3
            pen.line(left, top - 58, left + width / 3 - 20, top - 58)
            pen.text(left, top - 69, word, 9)

    return Block(74, draw)
