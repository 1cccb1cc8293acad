"""Measure how long a document takes to write and how much memory: ``python -m tests.speed.documents 100000``."""

from __future__ import annotations

import argparse
import resource
import tempfile
import time
from pathlib import Path

from service.documents.plan_json import write_plan_json
from service.documents.purchase_csv import write_purchase_list
from service.documents.workbook import write_cut_plan
from tests.speed.document_jobs import large_job

WRITERS = {"plan.json": write_plan_json, "cut-plan.xlsx": write_cut_plan, "purchase-list.csv": write_purchase_list}


def peak_mb() -> float:
    """Return the greatest memory this process has held so far."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def main() -> None:
    """Write the documents asked for and print one line each."""
    options = argparse.ArgumentParser()
    options.add_argument("screens", type=int)
    options.add_argument("--types", action="store_true", help="twenty screens to an opening")
    options.add_argument("--only", nargs="*", choices=sorted(WRITERS), default=list(WRITERS))
    asked = options.parse_args()
    problem, plan = large_job(asked.screens, types=asked.types)
    print(f"{asked.screens} screens: plan alone {peak_mb():.0f} MB")
    with tempfile.TemporaryDirectory() as folder:
        for name in asked.only:
            path = Path(folder) / name
            start = time.perf_counter()
            WRITERS[name](problem, plan, path)
            seconds = time.perf_counter() - start
            print(f"{name}: {seconds:.1f} s, {path.stat().st_size / 1e6:.1f} MB, peak {peak_mb():.0f} MB")


if __name__ == "__main__":
    main()
