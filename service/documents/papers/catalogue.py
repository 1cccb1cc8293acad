"""Every paper there is, with its file name and what writes it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from service.documents.papers.assembly import write_assembly_sheets
from service.documents.papers.buying import write_purchase_paper
from service.documents.papers.labels import write_labels
from service.documents.papers.mesh_sheets import write_mesh_sheets
from service.documents.papers.pick_lists import write_pick_lists
from service.documents.papers.remeasure import write_remeasure_list
from service.documents.papers.setup import PaperSetup
from service.documents.papers.sign_off import write_sign_off
from service.documents.papers.stick_sheets import write_stick_sheets
from solver.plan import Plan
from solver.problem import Problem


@dataclass(frozen=True, kw_only=True, slots=True)
class PaperKind:
    """One paper: its file name, what it is for in a few words, and what writes it."""

    name: str
    purpose: str
    write: Callable[[Problem, Plan, Path, PaperSetup], None]


PAPERS = (
    PaperKind(name="size-sign-off.pdf", purpose="confirm every size before cutting", write=write_sign_off),
    PaperKind(name="purchase-list.pdf", purpose="what to buy, by supplier", write=write_purchase_paper),
    PaperKind(name="stick-sheets.pdf", purpose="what the saw cuts, to scale", write=write_stick_sheets),
    PaperKind(name="mesh-sheets.pdf", purpose="what the cutting table cuts, to scale", write=write_mesh_sheets),
    PaperKind(name="labels.pdf", purpose="a label for every piece", write=write_labels),
    PaperKind(name="pick-lists.pdf", purpose="what goes together, by order", write=write_pick_lists),
    PaperKind(name="assembly-sheets.pdf", purpose="how each screen is put together", write=write_assembly_sheets),
    PaperKind(name="re-measure-list.pdf", purpose="what to measure again, as one walks", write=write_remeasure_list),
)
