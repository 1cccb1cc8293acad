"""Measure what settling ties does to whole jobs: patterns, leftovers and orders open, before and after.

    python -m tests.speed.ties [--work 150000] [--out RESULT.json] [FILE.xlsx ...]

Each rail part of each job (the sample jobs unless files are named) is planned
twice with the same limits, once with every tie ignored and once with every
tie preferred. Lengths are in inches; *neither* are offcuts from a quarter of
the useful length up to it; *open* is the most orders open at once when sticks
are cut as they stand.
"""

from __future__ import annotations

import argparse
import json
import sys
import time
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

from service.job_settings import JobSettings
from service.planning import checked, problem_of
from solver.limits import Limits
from solver.parts import RailPart
from solver.parts.rails import stick_group
from solver.plan import StickGroup
from solver.rules import Preference, Rules
from solver.solve import parts, sized
from solver.sticks.saw import most_open

INCH = 8_128
SAMPLES = ("apartment_block", "supplier_batch")
HEAD = "| part | lengths | sticks | cost | patterns | useful in | longest | neither in | open | s |"


def figures(group: StickGroup, rules: Rules, orders: dict[str, str]) -> dict[str, Any]:
    """Return what counts after the money in one group."""
    useful = int(rules.useful_offcut)
    kept = [stick.offcut for stick in group.sticks if stick.offcut >= useful]
    neither = sum(stick.offcut for stick in group.sticks if useful // 4 <= stick.offcut < useful)
    return {
        "cost": group.proof.cost,
        "patterns": len({(s.stock, s.length, tuple(rail.length for rail in s.rails)) for s in group.sticks}),
        "useful": round(sum(kept) / INCH),
        "longest": round(max(kept, default=0) / INCH),
        "neither": round(neither / INCH),
        "open": most_open([frozenset(orders[rail.opening] for rail in stick.rails) for stick in group.sticks]),
    }


def measured(path: Path, work: int) -> list[dict[str, Any]]:
    """Return a record for each rail part of a job."""
    problem = problem_of(checked([(path.name, path)], JobSettings()))
    orders = {opening.label: opening.order for opening in problem.openings}
    records = []
    for part in parts(problem, sized(problem)):
        if not isinstance(part, RailPart):
            continue
        record: dict[str, Any] = {
            "part": f"{path.stem}, {part.name}",
            "lengths": len({run.length for run in part.runs}),
        }
        for name, wish in (("before", Preference.IGNORE), ("after", Preference.PREFER)):
            rules = replace(part.rules, shorter_sticks=wish, useful_offcuts=wish, fewer_patterns=wish)
            start = time.monotonic()
            group = stick_group(replace(part, rules=rules), Limits(work=work, seconds=600).shared(part.among))
            record["sticks"] = len(group.sticks)
            record[name] = figures(group, rules, orders) | {"seconds": round(time.monotonic() - start, 1)}
        records.append(record)
    return records


def main(arguments: Sequence[str] | None = None) -> int:
    """Run from the command line; return 1 if settling ties made a part dearer."""
    parser = argparse.ArgumentParser(prog="python -m tests.speed.ties", description=__doc__)
    parser.add_argument("files", nargs="*", type=Path)
    parser.add_argument("--work", type=int, default=150_000)
    parser.add_argument("--out", type=Path)
    options = parser.parse_args(arguments)
    print(HEAD)
    print("|---|---|---|---|---|---|---|---|---|---|")
    records = []
    for path in options.files or [Path("sample_jobs", f"{name}.xlsx") for name in SAMPLES]:
        for record in measured(path, options.work):
            records.append(record)
            columns = ("cost", "patterns", "useful", "longest", "neither", "open", "seconds")
            changes = " | ".join(f"{record['before'][c]} > {record['after'][c]}" for c in columns)
            print(f"| {record['part']} | {record['lengths']} | {record['sticks']} | {changes} |", flush=True)
    if options.out:
        options.out.write_text(json.dumps(records))
    return int(any(record["after"]["cost"] > record["before"]["cost"] for record in records))


if __name__ == "__main__":
    sys.exit(main())
