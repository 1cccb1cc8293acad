"""The documents that a plan leaves as: one list for the command line, the job store and the web."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from service.documents.papers import PaperSetup
    from solver.plan import Plan
    from solver.problem import Problem

JSON = "application/json"
XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
CSV = "text/csv; charset=utf-8"
GZIP = "application/gzip"
PDF = "application/pdf"
ZIP = "application/zip"


def _always(problem: Problem) -> bool:
    del problem
    return True


@dataclass(frozen=True, kw_only=True, slots=True)
class Deliverable:
    """One document: its file name, its media type, what writes it to a path, and which jobs want it."""

    name: str
    media_type: str
    write: Callable[[Problem, Plan, Path, PaperSetup], None]
    wanted: Callable[[Problem], bool] = _always


def _plan_json(problem: Problem, plan: Plan, path: Path, setup: PaperSetup) -> None:
    from service.documents.plan_json import write_plan_json

    del setup
    write_plan_json(problem, plan, path)


def _cut_plan(problem: Problem, plan: Plan, path: Path, setup: PaperSetup) -> None:
    from service.documents.workbook import write_cut_plan

    del setup
    write_cut_plan(problem, plan, path)


def _purchase_list(problem: Problem, plan: Plan, path: Path, setup: PaperSetup) -> None:
    from service.documents.purchase_csv import write_purchase_list

    del setup
    write_purchase_list(problem, plan, path)


def _stick_cuts(problem: Problem, plan: Plan, path: Path, setup: PaperSetup) -> None:
    from service.documents.stick_csv import write_stick_cuts

    del setup
    write_stick_cuts(problem, plan, path)


def _crosscut_drawings(problem: Problem, plan: Plan, path: Path, setup: PaperSetup) -> None:
    from service.documents.crosscut_dxf import write_crosscut_drawings

    del setup
    write_crosscut_drawings(problem, plan, path)


def _first_revision(problem: Problem, plan: Plan, path: Path, setup: PaperSetup) -> None:
    from service.revisions.record import write_first_revision

    del setup
    write_first_revision(problem, plan, path)


def _page_lookup(problem: Problem, plan: Plan, path: Path, setup: PaperSetup) -> None:
    from service.documents.lookup.write import write_lookup

    del setup
    write_lookup(problem, plan, path)


def _paper(problem: Problem, plan: Plan, path: Path, setup: PaperSetup) -> None:
    from service.documents.papers import PAPERS

    kind = next(paper for paper in PAPERS if paper.name == path.name)
    kind.write(problem, plan, path, setup)


def _has_rows_to_measure(problem: Problem) -> bool:
    return bool(problem.parked)


PLAN_DOCUMENTS = (
    Deliverable(name="plan.json", media_type=JSON, write=_plan_json),
    Deliverable(name="cut-plan.xlsx", media_type=XLSX, write=_cut_plan),
    Deliverable(name="purchase-list.csv", media_type=CSV, write=_purchase_list),
    Deliverable(name="revision.json.gz", media_type=GZIP, write=_first_revision),
)
"""What a plan is handed out as at once."""

SHOP_DOCUMENTS = (
    Deliverable(name="size-sign-off.pdf", media_type=PDF, write=_paper),
    Deliverable(name="purchase-list.pdf", media_type=PDF, write=_paper),
    Deliverable(name="stick-sheets.pdf", media_type=PDF, write=_paper),
    Deliverable(name="mesh-sheets.pdf", media_type=PDF, write=_paper),
    Deliverable(name="labels.pdf", media_type=PDF, write=_paper),
    Deliverable(name="pick-lists.pdf", media_type=PDF, write=_paper),
    Deliverable(name="assembly-sheets.pdf", media_type=PDF, write=_paper),
    Deliverable(name="re-measure-list.pdf", media_type=PDF, write=_paper, wanted=_has_rows_to_measure),
    Deliverable(name="stick-cuts.csv", media_type=CSV, write=_stick_cuts),
    Deliverable(name="mesh-crosscuts.zip", media_type=ZIP, write=_crosscut_drawings),
)
"""What the shop prints or feeds to its machines; a large job's are written after its plan is there."""

DELIVERABLES = (*PLAN_DOCUMENTS, *SHOP_DOCUMENTS)

REVISION_DOCUMENTS = {
    "difference.txt": "text/plain; charset=utf-8",
    "difference.json": JSON,
    "labels-to-print-again.pdf": PDF,
    "parts-to-send.pdf": PDF,
    "answer.json": JSON,
}
"""What only a revision has, and the answer to a question about a plan; each with its media type."""

MEDIA_TYPES = REVISION_DOCUMENTS | {deliverable.name: deliverable.media_type for deliverable in DELIVERABLES}

PAGE_LOOKUP = Deliverable(name="plan-lookup.sqlite", media_type="application/vnd.sqlite3", write=_page_lookup)
"""Where the pages look a plan up; kept with the documents of a job and offered to nobody."""

KEPT_BACK = frozenset({PAGE_LOOKUP.name, "rack.json"})
"""Documents of a job that are offered to nobody."""
