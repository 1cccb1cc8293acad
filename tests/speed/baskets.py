"""Measure joint buying decisions on generated jobs: how many are proven cheapest, how fast, and what they save.

``python -m tests.speed.baskets [--jobs N] [--screens 1,2,5,10] [--only NAME] [--seconds S] [--out RESULT.json]``

Every job is planned three ways: with everything on sale, with loose stock alone,
and by hand (one kit per window; loose stock). A plan is recounted before its
figures count. Times are those of the whole plan: seconds by the clock, which bound the search, and seconds of one
core, which do not depend on what else the machine does.
"""

from __future__ import annotations

import argparse
import json
import statistics
import sys
import time
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from solver.check import faults
from solver.limits import Limits
from solver.plan import Plan
from solver.problem import Problem
from solver.solve import solve
from tests.speed.basket_jobs import Recipe, job, offers, without_kits

FLAVOURS: dict[str, dict[str, Any]] = {
    "kits": {},
    "kits with mesh": {"mesh_kits": True},
    "deliveries": {"mesh_kits": True, "deliveries": True},
    "least numbers": {"mesh_kits": True, "deliveries": True, "least": True},
    "three colours": {"mesh_kits": True, "deliveries": True, "colours": 3},
}


@dataclass(frozen=True, kw_only=True, slots=True)
class Measured:
    """One job: money in cents, seconds by the clock and of a core, and how it compares."""

    name: str
    seed: int
    offers: int
    seconds: float
    core_seconds: float
    cost: int
    bound: int
    loose: int
    loose_bound: int
    per_window: int | None
    by_hand: int | None


def measured(name: str, problem: Problem, seed: int, seconds: float) -> Measured:
    plan, spent, core = _planned(problem, seconds, seed)
    loose, _, _ = _planned(without_kits(problem), seconds, seed)
    ways = {way.name: way.cost for way in plan.alternatives}
    if plan.total is None or plan.bound is None or loose.total is None or loose.bound is None:
        raise AssertionError("a job of this benchmark has prices")
    return Measured(
        name=name,
        seed=seed,
        offers=offers(problem),
        seconds=spent,
        core_seconds=core,
        cost=plan.total,
        bound=plan.bound,
        loose=loose.total,
        loose_bound=loose.bound,
        per_window=ways.get("one kit per window"),
        by_hand=ways["loose stock by hand"],
    )


def _planned(problem: Problem, seconds: float, seed: int) -> tuple[Plan, float, float]:
    start, core = time.monotonic(), time.process_time()
    plan = solve(problem, Limits(work=int(1_000 * seconds), seconds=seconds, seed=seed, now=time.monotonic))
    spent, core = time.monotonic() - start, time.process_time() - core
    wrong = faults(problem, plan)
    if wrong:
        raise AssertionError(wrong)
    return plan, spent, core


def summary(rows: list[Measured]) -> str:
    """Return one line of the table."""
    proven = sum(row.cost == row.bound for row in rows)
    gaps = [(row.cost - row.bound) / row.bound if row.bound else float("inf") for row in rows]
    dearer = sum(
        row.cost > min([row.loose, *(way for way in (row.per_window, row.by_hand) if way is not None)]) for row in rows
    )
    mixed = sum(row.cost < min(row.loose, row.per_window if row.per_window is not None else row.loose) for row in rows)
    saved = [1 - row.cost / row.by_hand for row in rows if row.by_hand]
    windows = [1 - row.cost / row.per_window for row in rows if row.per_window]
    return (
        f"{rows[0].name:34} {len(rows):4} jobs, {max(row.offers for row in rows)} offers: {proven} proven, "
        f"seconds mean {statistics.mean(row.seconds for row in rows):.2f} max {max(row.seconds for row in rows):.2f}, "
        f"of a core mean {statistics.mean(row.core_seconds for row in rows):.2f} "
        f"max {max(row.core_seconds for row in rows):.2f}, "
        f"gap max {max(gaps):.2%}, dearer than another way {dearer}, cheaper than loose and than kits {mixed}, "
        f"saved against by hand {statistics.mean(saved):.1%}"
        + (f", against one kit per window {statistics.mean(windows):.1%}" if windows else "")
    )


def main() -> None:
    reader = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    reader.add_argument("--jobs", type=int, default=10, help="jobs of each kind")
    reader.add_argument("--screens", default="1,2,5,10")
    reader.add_argument("--only", default="", help="only kinds whose name contains this")
    reader.add_argument("--seconds", type=float, default=10)
    reader.add_argument("--seed", type=int, default=1)
    reader.add_argument("--out", type=Path)
    asked = reader.parse_args()
    every: list[Measured] = []
    for screens in (int(number) for number in asked.screens.split(",")):
        for flavour, words in FLAVOURS.items():
            for sorts in sorted({screens, max(1, screens * 2 // 3)}):
                name = f"{screens} screens, {sorts} sizes, {flavour}"
                if asked.only not in name:
                    continue
                recipe = Recipe(screens=screens, sorts=sorts, **words)
                rows = [
                    measured(name, job(recipe, seed), seed, asked.seconds)
                    for seed in range(asked.seed, asked.seed + asked.jobs)
                ]
                every += rows
                sys.stdout.write(summary(rows) + "\n")
                sys.stdout.flush()
    if asked.out is not None:
        asked.out.write_text(json.dumps([asdict(row) for row in every], indent=1) + "\n")


if __name__ == "__main__":
    main()
