"""Write the cut-plan workbook, sheet by sheet, with memory that does not grow with the plan."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import xlsxwriter

from service.documents.plan_index import PlanIndex
from service.documents.workbook.cut_sheets import mesh_crosscuts, stick_cuts
from service.documents.workbook.kit_sheets import kits, other_ways, still_possible
from service.documents.workbook.leftover_sheet import leftovers
from service.documents.workbook.list_sheets import measure_again, notices, purchase_list, rules_used
from service.documents.workbook.size_sheet import sizes
from service.documents.workbook.summary_sheet import summary
from service.documents.workbook.table import Book
from solver.plan import Plan
from solver.problem import Problem

_ALWAYS_THE_SAME_DATE = datetime(2000, 1, 1)
"""Same plan, same bytes: the file carries no clock time."""

_SHEETS = (
    summary,
    purchase_list,
    kits,
    other_ways,
    sizes,
    stick_cuts,
    mesh_crosscuts,
    leftovers,
    still_possible,
    notices,
    measure_again,
    rules_used,
)


def write_cut_plan(problem: Problem, plan: Plan, path: Path) -> None:
    """Write a plan as a workbook with one sheet for each job of the office and the shop.

    Parameters
    ----------
    problem
        What the plan was made for; its unit decides which of the two length columns comes first.
    plan
        A checked plan of that problem.
    path
        Where the workbook goes; replaced if it is there.
    """
    options = {"constant_memory": True, "strings_to_formulas": False, "strings_to_urls": False}
    index = PlanIndex(problem, plan)
    with xlsxwriter.Workbook(str(path), options) as workbook:
        workbook.set_properties({"title": f"Cut plan: {plan.name}"[:200], "created": _ALWAYS_THE_SAME_DATE})
        book = Book(workbook, problem)
        for write_sheet in _SHEETS:
            write_sheet(book, index)
