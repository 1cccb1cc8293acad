"""Measure how long a document takes to write and how much memory: ``python -m tests.speed.documents 100000``."""

from __future__ import annotations

import argparse
import resource
import tempfile
import time
from collections.abc import Callable
from datetime import date
from pathlib import Path

from service.documents.crosscut_dxf import write_crosscut_drawings
from service.documents.papers import PAPERS, PaperKind, PaperSetup
from service.documents.plan_json import write_plan_json
from service.documents.purchase_csv import write_purchase_list
from service.documents.stick_csv import write_stick_cuts
from service.documents.workbook import write_cut_plan
from solver.plan import Plan
from solver.problem import Problem
from tests.speed.document_jobs import large_job

Writer = Callable[[Problem, Plan, Path], None]


def _paper(paper: PaperKind) -> Writer:
    def write(problem: Problem, plan: Plan, path: Path) -> None:
        paper.write(problem, plan, path, PaperSetup.usual(problem.unit, date(2026, 11, 25), "SPEED"))

    return write


WRITERS: dict[str, Writer] = {
    "plan.json": write_plan_json,
    "cut-plan.xlsx": write_cut_plan,
    "purchase-list.csv": write_purchase_list,
    "stick-cuts.csv": write_stick_cuts,
    "mesh-crosscuts.zip": write_crosscut_drawings,
    **{paper.name: _paper(paper) for paper in PAPERS},
}
PAPER_NAMES = ("stick-cuts.csv", "mesh-crosscuts.zip", *(paper.name for paper in PAPERS))


def peak_mb() -> float:
    """Return the greatest memory this process has held so far."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def main() -> None:
    """Write the documents asked for and print one line each."""
    options = argparse.ArgumentParser()
    options.add_argument("screens", type=int)
    options.add_argument("--types", action="store_true", help="twenty screens to an opening")
    options.add_argument("--only", nargs="*", choices=sorted(WRITERS), default=list(WRITERS))
    options.add_argument("--papers", action="store_true", help="the papers alone")
    asked = options.parse_args()
    problem, plan = large_job(asked.screens, types=asked.types)
    print(f"{asked.screens} screens: plan alone {peak_mb():.0f} MB")
    with tempfile.TemporaryDirectory() as folder:
        begun, core_begun = time.perf_counter(), time.process_time()
        for name in PAPER_NAMES if asked.papers else asked.only:
            path = Path(folder) / name
            start, core = time.perf_counter(), time.process_time()
            WRITERS[name](problem, plan, path)
            seconds, core = time.perf_counter() - start, time.process_time() - core
            took = f"{seconds:.1f} s ({core:.1f} s of one core)"
            print(f"{name}: {took}, {path.stat().st_size / 1e6:.1f} MB, peak {peak_mb():.0f} MB")
        whole, core = time.perf_counter() - begun, time.process_time() - core_begun
        print(f"in all {whole:.1f} s ({core:.1f} s of one core)")


if __name__ == "__main__":
    main()
