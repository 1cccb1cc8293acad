"""The documents that a plan leaves as: one list for the command line, the job store and the web."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from solver.plan import Plan
    from solver.problem import Problem

JSON = "application/json"
XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
CSV = "text/csv; charset=utf-8"


@dataclass(frozen=True, kw_only=True, slots=True)
class Deliverable:
    """One document: its file name, its media type and what writes it to a path."""

    name: str
    media_type: str
    write: Callable[[Problem, Plan, Path], None]


def _plan_json(problem: Problem, plan: Plan, path: Path) -> None:
    from service.documents.plan_json import plan_document

    path.write_text(plan_document(problem, plan).model_dump_json(indent=2), encoding="utf-8")


def _cut_plan(problem: Problem, plan: Plan, path: Path) -> None:
    from service.documents.workbook import write_cut_plan

    write_cut_plan(problem, plan, path)


def _purchase_list(problem: Problem, plan: Plan, path: Path) -> None:
    from service.documents.purchase_csv import write_purchase_list

    write_purchase_list(problem, plan, path)


def _page_lookup(problem: Problem, plan: Plan, path: Path) -> None:
    from service.documents.lookup.write import write_lookup

    write_lookup(problem, plan, path)


DELIVERABLES = (
    Deliverable(name="plan.json", media_type=JSON, write=_plan_json),
    Deliverable(name="cut-plan.xlsx", media_type=XLSX, write=_cut_plan),
    Deliverable(name="purchase-list.csv", media_type=CSV, write=_purchase_list),
)

MEDIA_TYPES = {deliverable.name: deliverable.media_type for deliverable in DELIVERABLES}

PAGE_LOOKUP = Deliverable(name="plan-lookup.sqlite", media_type="application/vnd.sqlite3", write=_page_lookup)
"""Where the pages look a plan up; kept with the documents of a job and offered to nobody."""
