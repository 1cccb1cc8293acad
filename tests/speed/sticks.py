"""Measure the stick planner on published instances, and recount every plan.

    python -m tests.speed.sticks FILE.json [--seconds S] [--only NAME] --out RESULT.json

FILE holds ``{"instances": {NAME: {"capacity": n, "items": [[length, copies], ...]}}}``:
one stick length, fewest sticks. RESULT holds, for anyone to recount,
``{"instances": {NAME: {"status": "proven" | "open", "objective": n, "bound": n,
"seconds": s, "processor": s, "patterns": [[multiplicity, [[length, copies], ...]], ...]}}}``;
``processor`` are the seconds of one core, which other work on the machine hardly changes.
"""

from __future__ import annotations

import argparse
import json
import sys
import time
from collections import Counter
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from solver.limits import Limits
from solver.sticks import cut
from solver.sticks.model import CuttingStock, StockLength


def measured(instance: dict[str, Any], seconds: float) -> dict[str, Any]:
    """Return the result record of one instance."""
    wanted: Counter[int] = Counter()
    for length, copies in instance["items"]:
        wanted[length] += copies
    lengths = sorted(wanted, reverse=True)
    problem = CuttingStock(
        lengths=tuple(lengths),
        counts=tuple(wanted[length] for length in lengths),
        kerf=0,
        stock=(StockLength(length=instance["capacity"], cost=1),),
    )
    start, busy = time.monotonic(), time.process_time()
    plan = cut(problem, Limits(work=10**9, seconds=seconds, now=time.monotonic), None)
    took = time.monotonic() - start
    return {
        "status": "proven" if plan.cost == plan.bound else "open",
        "objective": plan.cost,
        "bound": plan.bound,
        "seconds": round(took, 3),
        "processor": round(time.process_time() - busy, 3),
        "patterns": [[p.copies, [[lengths[i], times] for i, times in p.rails]] for p in plan.patterns],
    }


def recounted(instance: dict[str, Any], record: dict[str, Any]) -> list[str]:
    """Return what is wrong with a record, counted from the instance alone."""
    wrong = []
    wanted: Counter[int] = Counter()
    for length, copies in instance["items"]:
        wanted[length] += copies
    sticks = 0
    for multiplicity, rails in record["patterns"]:
        sticks += multiplicity
        used = sum(length * copies for length, copies in rails)
        if used > instance["capacity"]:
            wrong.append(f"a stick holds {used} of {instance['capacity']}")
        for length, copies in rails:
            wanted[length] -= copies * multiplicity
    if any(wanted.values()):
        wrong.append(f"cut too few or too many: {[(n, c) for n, c in wanted.items() if c]}")
    if sticks != record["objective"]:
        wrong.append(f"{sticks} sticks, the record says {record['objective']}")
    area = sum(length * copies for length, copies in instance["items"])
    if not -(-area // instance["capacity"]) <= record["bound"] <= record["objective"]:
        wrong.append(f"the bound {record['bound']} cannot be right")
    optimum = instance.get("optimum")
    if optimum is not None and not record["bound"] <= optimum <= record["objective"]:
        wrong.append(f"the published optimum {optimum} lies outside {record['bound']} to {record['objective']}")
    return wrong


def main(arguments: Sequence[str] | None = None) -> int:
    """Run from the command line; return 1 if a recount finds a fault."""
    parser = argparse.ArgumentParser(prog="python -m tests.speed.sticks", description=__doc__)
    parser.add_argument("file", type=Path)
    parser.add_argument("--seconds", type=float, default=60.0, help="for each instance")
    parser.add_argument("--only", default="", help="only instances whose name contains this")
    parser.add_argument("--out", type=Path, required=True)
    options = parser.parse_args(arguments)
    instances = json.loads(options.file.read_text())["instances"]
    # One instance that counts for nothing, so that compiling is not measured.
    warm = {"capacity": 10_007, "items": [[4_999 - 37 * n, 1 + n % 3] for n in range(120)]}
    measured(warm, 10.0)
    results: dict[str, Any] = {}
    faults = 0
    for name, instance in instances.items():
        if options.only not in name:
            continue
        record = results[name] = measured(instance, options.seconds)
        wrong = recounted(instance, record)
        faults += len(wrong)
        said = "; ".join(wrong) or "recounted"
        found = f"{record['status']} {record['objective']} (bound {record['bound']}) in {record['seconds']} s"
        print(f"{name}: {found}, {said}", file=sys.stderr, flush=True)
        options.out.write_text(json.dumps({"instances": results}))
    took = [record["seconds"] for record in results.values()] or [0.0]
    proven = sum(record["status"] == "proven" for record in results.values())
    average = sum(took) / len(took)
    print(
        f"{options.file.stem}: {proven} of {len(results)} proven, mean {average:.3f} s, max {max(took):.2f} s", end="; "
    )
    busy = [record["processor"] for record in results.values()] or [0.0]
    print(f"processor mean {sum(busy) / len(busy):.3f} s, max {max(busy):.2f} s")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
