"""Labels of some pieces only: those that a revision changed, or that got lost."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from pathlib import Path

from service.documents.papers.labels import Label, piece_labels, size_text, write_label_pages
from service.documents.papers.setup import PaperSetup
from service.documents.pieces import MESH, screen_label
from service.documents.plain_text import one_line
from service.documents.plan_index import PlanIndex
from solver.pieces import Place
from solver.plan import Plan
from solver.problem import Problem

PieceName = tuple[str, int, Place | None]
"""Opening, copy and place; None for the place is the mesh blank."""


def write_some_labels(
    problem: Problem, plan: Plan, pieces: Collection[PieceName], path: Path, setup: PaperSetup
) -> None:
    """Write the labels of some pieces: those still to be cut in cutting order, then those that are cut already."""
    title = f"{one_line(problem.name)}: labels to print again"
    write_label_pages(labels_of(problem, plan, pieces, setup), title, path, setup)


def labels_of(problem: Problem, plan: Plan, pieces: Collection[PieceName], setup: PaperSetup) -> Iterator[Label]:
    """Yield the labels of some pieces; a piece that is cut already says so in place of its stick."""
    index = PlanIndex(problem, plan)
    prefix = f"{setup.job_code}-" if setup.job_code else ""
    wanted = {prefix + index.code(*piece) for piece in pieces}
    for label in piece_labels(problem, plan, setup):
        if label.code in wanted:
            yield label
    yield from (label for label in _cut_already(index, prefix, setup) if label.code in wanted)


def _cut_already(index: PlanIndex, prefix: str, setup: PaperSetup) -> Iterator[Label]:
    problem, unit = index.problem, index.problem.unit
    made_of = {screen.opening: screen for screen in index.plan.screens}
    revision = f"rev {setup.revision}" if setup.revision else ""

    def label(opening: str, copy: int, place: Place | None, size: tuple[str, str], stock: str) -> Label:
        known = index.opening(opening)
        order = one_line(known.order) if known else ""
        return Label(
            screen=one_line(screen_label(opening, copy, index.quantity(opening))),
            place=MESH if place is None else place.value,
            size=size,
            stock=one_line(stock),
            cut_from="cut already",
            order="  ".join(word for word in (order, revision) if word),
            code=prefix + index.code(opening, copy, place),
        )

    for rail in problem.pinned_rails:
        screen = made_of[rail.opening]
        stock = f"{screen.profile} {screen.colour}"
        yield label(rail.opening, rail.copy, rail.place, size_text((rail.length,), unit), stock)
    for blank in problem.pinned_blanks:
        size = size_text((blank.width, blank.height), unit)
        yield label(blank.opening, blank.copy, None, size, made_of[blank.opening].mesh)
