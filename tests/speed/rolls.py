"""Measure roll nesting on published instances.

``python -m tests.speed.rolls FILE.json [--seconds S] [--turn] [--only NAME] --out RESULT.json``

FILE holds ``{"instances": {NAME: {"width": w, "items": [[across, along, copies], ...]}}}``: one strip of width w,
least length, two stages. RESULT is ``{"instances": {NAME: {"length": n, "bound": n, "seconds": s, "crosscuts":
[{"count": k, "length": h, "strips": [{"width": w, "blanks": [[across, along, copies], ...]}]}]}}}``, so that anyone
can recount; the command recounts itself before it writes.
"""

from __future__ import annotations

import argparse
import json
import statistics
import time
from collections import Counter
from pathlib import Path
from typing import Any

from solver.limits import Limits
from solver.rolls import nest
from solver.rolls.model import Blank, NestingPlan, RollNesting, RollWidth


def problem_of(instance: dict[str, Any], *, turn: bool, stages: int) -> RollNesting:
    blanks = tuple(
        Blank(across=across, along=along, count=copies, turns=turn) for across, along, copies in instance["items"]
    )
    return RollNesting(
        blanks=blanks, rolls=(RollWidth(width=instance["width"], length=None, cost=1, step=1),), stages=stages
    )


def crosscuts_of(problem: RollNesting, plan: NestingPlan) -> list[dict[str, Any]]:
    found = []
    for crosscut in plan.rolls[0].crosscuts:
        strips = []
        for strip in crosscut.strips:
            blanks = []
            for number, turned, copies in strip.blanks:
                blank = problem.blanks[number]
                across, along = (blank.along, blank.across) if turned else (blank.across, blank.along)
                blanks.append([across, along, copies])
            strips.append({"width": strip.width, "blanks": blanks})
        found.append({"count": crosscut.copies, "length": crosscut.length, "strips": strips})
    return found


def recounted(instance: dict[str, Any], crosscuts: list[dict[str, Any]], *, turn: bool, stages: int) -> int:
    """Return the length counted from the crosscuts alone; stop at anything that cannot be cut or is miscounted."""
    cut: Counter[tuple[int, int]] = Counter()
    length = 0
    for crosscut in crosscuts:
        length += crosscut["count"] * crosscut["length"]
        assert sum(strip["width"] for strip in crosscut["strips"]) <= instance["width"], crosscut
        for strip in crosscut["strips"]:
            assert stages == 3 or sum(copies for _, _, copies in strip["blanks"]) == 1, strip
            assert sum(along * copies for _, along, copies in strip["blanks"]) <= crosscut["length"], strip
            for across, along, copies in strip["blanks"]:
                assert across <= strip["width"], strip
                size = (min(across, along), max(across, along)) if turn else (across, along)
                cut[size] += copies * crosscut["count"]
    wanted: Counter[tuple[int, int]] = Counter()
    for across, along, copies in instance["items"]:
        wanted[(min(across, along), max(across, along)) if turn else (across, along)] += copies
    assert cut == wanted, f"cut {cut - wanted} too many, {wanted - cut} too few"
    return length


def main() -> None:
    reader = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    reader.add_argument("file", type=Path)
    reader.add_argument("--seconds", type=float, default=10)
    reader.add_argument("--turn", action="store_true", help="every blank may be turned")
    reader.add_argument("--stages", type=int, choices=(2, 3), default=2)
    reader.add_argument("--only", default="", help="only instances whose name contains this")
    reader.add_argument("--seed", type=int, default=1)
    reader.add_argument("--out", type=Path, required=True)
    asked = reader.parse_args()
    instances = json.loads(asked.file.read_text())["instances"]
    found: dict[str, Any] = {}
    for name, instance in instances.items():
        if asked.only not in name:
            continue
        problem = problem_of(instance, turn=asked.turn, stages=asked.stages)
        begun = time.perf_counter()
        limits = Limits(seconds=asked.seconds, work=10**9, seed=asked.seed, now=time.perf_counter)
        plan = nest(problem, limits)
        seconds = time.perf_counter() - begun
        crosscuts = crosscuts_of(problem, plan)
        length = recounted(instance, crosscuts, turn=asked.turn, stages=asked.stages)
        assert length == plan.cost >= plan.bound, (length, plan.cost, plan.bound)
        found[name] = {"length": length, "bound": plan.bound, "seconds": round(seconds, 3), "crosscuts": crosscuts}
        published = instance.get("best_published", "")
        mark = (
            "" if not published else " better" if length < published else " same" if length == published else " WORSE"
        )
        print(f"{name}: {length}, bound {plan.bound}, published {published}{mark}, {seconds:.2f} s", flush=True)
    asked.out.write_text(json.dumps({"instances": found}))
    lengths = [entry["length"] for entry in found.values()]
    took = [entry["seconds"] for entry in found.values()]
    closed = sum(entry["length"] == entry["bound"] for entry in found.values())
    print(
        f"{len(found)} instances, mean length {statistics.mean(lengths):.2f}, {closed} proven, "
        f"mean {statistics.mean(took):.2f} s, longest {max(took):.2f} s"
    )


if __name__ == "__main__":
    main()
