"""Measure the stick planner on generated jobs, against first fit and a plain assignment model.

    python -m tests.speed.jobs [--screens 20,50,300] [--seeds 3] [--job JSON ...] [--bare] [--seconds S] [--plain S]
        [--out RESULT.json]

Each row of the table: jobs, how many were proven cheapest, mean and longest
seconds, mean and largest gap between cost and bound, what first-fit decreasing
in the best single length costs more, what a plain assignment model (one
variable for each rail type in each stick) costs more within its seconds, and
sticks' patterns and useful offcuts before and after the ties are settled.
``--job`` measures jobs of one's own, such as ``{"screens": 5000, "types": 475,
"seed": 1, "table": "proportional"}``; ``--bare`` leaves the ties out and counts
processor seconds, also against the limit, for a machine with other work.
"""

from __future__ import annotations

import argparse
import json
import sys
import time
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from ortools.sat.python import cp_model

from solver.limits import Limits
from solver.sticks import cut
from solver.sticks.by_hand import by_hand
from solver.sticks.model import CuttingStock
from solver.sticks.ties import Ties
from tests.solver.sticks.recount import broken_rules
from tests.speed.stick_jobs import INCH, PRICE_TABLES, Job, cutting_stock

PLAIN_MOST_RAILS = 400
"""Above this the plain model does not even fit its first plan into a minute."""

HEAD = (
    "| screens | jobs | proven | mean s | max s | mean gap % | max gap % | by hand + % | plain + % |"
    " patterns | useful in |"
)


def jobs(screens: int, seeds: int) -> list[Job]:
    """Return the jobs of one row: every price table, both units, changing types, leftovers, bundles, corners."""
    kinds = [2, max(2, screens // 3), screens, max(2, screens // 8)] if screens < 500 else [120, 475, 60, 250]
    return [
        Job(
            screens=screens,
            types=min(500, kinds[(seed + number) % 4]),
            seed=seed,
            metric=metric,
            table=table,
            leftovers=(0, 0, 8, 30, 50)[seed % 5],
            bundles=seed % 4 == 3,
            mitred=seed % 2 == 1,
        )
        for seed in range(seeds)
        for number, table in enumerate(PRICE_TABLES)
        for metric in (False, True)
    ]


def plain_model(problem: CuttingStock, seconds: float) -> int | None:
    """Return the cost that a plain assignment model finds, or None: sticks one by one, bundles left out."""
    rails = sum(problem.counts)
    total = sum(length * count for length, count in zip(problem.lengths, problem.counts, strict=True))
    if rails > PLAIN_MOST_RAILS:
        return None
    model = cp_model.CpModel()
    placed: list[list[Any]] = [[] for _ in problem.lengths]
    cost: Any = 0
    for stock in problem.stock:
        most = rails if stock.limit is None else min(rails, stock.limit)
        most = min(most, 2 * total // stock.length + 2)
        before = None
        for _ in range(most):
            used = model.new_bool_var("")
            held: Any = 0
            for i, (length, count) in enumerate(zip(problem.lengths, problem.counts, strict=True)):
                fit = min(count, (stock.length + problem.kerf) // (length + problem.kerf))
                if fit:
                    copies = model.new_int_var(0, fit, "")
                    placed[i].append(copies)
                    held += (length + problem.kerf) * copies
            model.add(held <= (stock.length + problem.kerf) * used)
            if before is not None:
                model.add_implication(used, before)
            before = used
            cost += stock.cost * used
    for row, count in zip(placed, problem.counts, strict=True):
        model.add(sum(row) == count)
    model.minimize(cost)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.max_time_in_seconds = seconds
    status = solver.solve(model)
    return round(solver.objective_value) if status in (cp_model.OPTIMAL, cp_model.FEASIBLE) else None


def measured(job: Job, seconds: float, plain: float, *, ties: bool) -> dict[str, Any]:
    """Return the record of one job; every plan is recounted."""
    problem = cutting_stock(job)
    now = time.monotonic if ties else time.process_time
    start = now()
    bare = cut(problem, Limits(work=10**9, seconds=seconds, now=now), None)
    took = now() - start
    tidy = (
        bare
        if not ties
        else cut(problem, Limits(work=10**9, seconds=seconds, now=time.monotonic), Ties(useful_offcut=12 * INCH))
    )
    faults = [*broken_rules(problem, bare), *broken_rules(problem, tidy)]
    if tidy.cost > bare.cost and bare.cost == bare.bound == tidy.bound:
        faults.append(f"settling ties made the plan dearer: {bare.cost}, {tidy.cost}")
    hand = by_hand(problem)
    model = plain_model(problem, plain) if plain else None
    return {
        "job": job.name,
        "lengths": len(problem.lengths),
        "rails": sum(problem.counts),
        "cost": bare.cost,
        "bound": bare.bound,
        "seconds": round(took, 3),
        "by_hand": hand,
        "plain_model": model,
        "patterns": [len(bare.patterns), len(tidy.patterns)],
        "useful": [useful(problem, bare.patterns), useful(problem, tidy.patterns)],
        "faults": faults,
    }


def useful(problem: CuttingStock, patterns: Any) -> int:
    """Return the total length, in inches, of offcuts of 12 in and more."""
    total = 0
    for pattern in patterns:
        used = sum((problem.lengths[i] + problem.kerf) * times for i, times in pattern.rails)
        offcut = problem.stock[pattern.stock].length - used
        if offcut >= 12 * INCH:
            total += offcut * pattern.copies
    return total // INCH


def row_of(screens: int, records: Sequence[dict[str, Any]]) -> str:
    """Return one line of the table."""
    n = len(records)
    gaps = [100 * (r["cost"] - r["bound"]) / max(1, r["bound"]) for r in records]
    hand = [100 * (r["by_hand"] / r["cost"] - 1) for r in records if r["by_hand"] and r["cost"]]
    plain = [100 * (r["plain_model"] / r["cost"] - 1) for r in records if r["plain_model"] and r["cost"]]
    took = [r["seconds"] for r in records]
    mean = f"{sum(took) / n:.2f} | {max(took):.2f} | {sum(gaps) / n:.4f} | {max(gaps):.4f}"
    by = f"{sum(hand) / max(1, len(hand)):.2f} | " + (f"{sum(plain) / len(plain):.2f}" if plain else "-")
    before, after = (sum(r["patterns"][k] for r in records) / n for k in (0, 1))
    kept, more = (sum(r["useful"][k] for r in records) / n for k in (0, 1))
    proven = sum(r["cost"] == r["bound"] for r in records)
    return f"| {screens} | {n} | {proven} | {mean} | {by} | {before:.1f} > {after:.1f} | {kept:.0f} > {more:.0f} |"


def main(arguments: Sequence[str] | None = None) -> int:
    """Run from the command line; return 1 if a plan breaks a rule."""
    parser = argparse.ArgumentParser(prog="python -m tests.speed.jobs", description=__doc__)
    parser.add_argument("--screens", default="2,5,10,20,35,50,100,300")
    parser.add_argument("--seeds", type=int, default=3)
    parser.add_argument("--seconds", type=float, default=60.0, help="for each job")
    parser.add_argument("--plain", type=float, default=0.0, help="seconds for the plain model; 0 leaves it out")
    parser.add_argument("--out", type=Path)
    parser.add_argument("--job", type=json.loads, action="append", default=[], help="a job of one's own, as JSON")
    parser.add_argument("--bare", action="store_true", help="no ties; processor seconds")
    options = parser.parse_args(arguments)
    print(HEAD)
    print("|---|---|---|---|---|---|---|---|---|---|---|")
    cut(cutting_stock(Job(screens=60, types=60, seed=99)), Limits(work=10**9, seconds=10, now=time.monotonic))
    everything: list[dict[str, Any]] = []
    rows = [[Job(**job)] for job in options.job]
    if not rows:
        rows = [jobs(int(screens), options.seeds) for screens in options.screens.split(",")]
    for row in rows:
        records = []
        for job in row:
            records.append(measured(job, options.seconds, options.plain, ties=not options.bare))
            if records[-1]["faults"] or records[-1]["cost"] > records[-1]["bound"]:
                print(records[-1], file=sys.stderr, flush=True)
        everything += records
        print(row_of(row[0].screens, records), flush=True)
        if options.out:
            options.out.write_text(json.dumps(everything))
    return 1 if any(record["faults"] for record in everything) else 0


if __name__ == "__main__":
    sys.exit(main())
