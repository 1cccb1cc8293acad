"""Measure roll nesting on generated jobs: ``python -m tests.speed.roll_jobs SETTING [--jobs N] [--seconds S]``."""

from __future__ import annotations

import argparse
import statistics
import time
from random import Random

from solver.limits import Limits
from solver.rolls import by_hand, nest
from solver.rolls.model import Blank, RollNesting, RollWidth
from tests.speed.roll_recount import faults

INCH, FOOT, METRE = 8_128, 97_536, 320_000
WIDTHS = (18, 24, 30, 36, 42, 48, 60, 72, 84)


def job(
    seed: int,
    *,
    blanks: int,
    types: int,
    widths: int,
    running: bool,
    turned: bool,
    rack: bool,
    stages: int = 2,
    feet: tuple[int, ...] = (25, 50, 100),
    metric: bool = False,
) -> RollNesting:
    """Return one generated job: blanks in sixteenths (or tenths of a millimetre), prices by area with a discount."""
    chance = Random(seed)
    step = 32 if metric else INCH // 16
    chosen = sorted(chance.sample(WIDTHS[2:], min(widths, 7))) if widths < 8 else list(WIDTHS)
    widest = chosen[-1] * INCH - INCH // 2
    counts = [1] * types
    for _ in range(blanks - types):
        counts[int(types * chance.random() ** 2)] += 1
    sizes = []
    for count in counts:
        across = min(chance.randint(14 * INCH, 46 * INCH), widest) // step * step
        along = chance.randint(18 * INCH, 72 * INCH) // step * step
        sizes.append(Blank(across=across, along=along, count=count, turns=turned))
    rolls = []
    for width in chosen:
        usable = width * INCH - INCH // 2
        per_foot = round(width * chance.uniform(2.2, 3.0))
        if running:
            rolls.append(RollWidth(width=usable, length=None, cost=per_foot, step=FOOT))
            continue
        for length in feet:
            cost = round(per_foot * length * (1.25, 1.1, 1.0)[min(2, length // 50)])
            rolls.append(RollWidth(width=usable, length=length * FOOT, cost=cost))
        if metric:
            rolls.append(RollWidth(width=usable, length=30 * METRE, cost=round(per_foot * 98.4)))
    if rack:
        for _ in range(chance.randint(1, 4)):
            length = chance.randint(4 * FOOT, 60 * FOOT) // INCH * INCH
            width = chance.choice(chosen) * INCH - INCH // 2
            rolls.append(RollWidth(width=width, length=length, cost=0, limit=1))
    return RollNesting(blanks=tuple(sizes), rolls=tuple(rolls), stages=stages)


def main() -> None:
    reader = argparse.ArgumentParser(description=__doc__)
    reader.add_argument("--blanks", type=int, default=200)
    reader.add_argument("--types", type=int, default=0, help="0: half as many as blanks, at most 500")
    reader.add_argument("--widths", type=int, default=0, help="0: one to nine by chance")
    reader.add_argument("--running", action="store_true")
    reader.add_argument("--turned", choices=("yes", "no", "both"), default="both")
    reader.add_argument("--rack", choices=("yes", "no", "both"), default="both")
    reader.add_argument("--metric", action="store_true")
    reader.add_argument("--stages", type=int, default=2)
    reader.add_argument("--feet", type=int, nargs="*", default=[25, 50, 100])
    reader.add_argument("--jobs", type=int, default=10)
    reader.add_argument("--seed", type=int, default=1)
    reader.add_argument("--seconds", type=float, default=10)
    asked = reader.parse_args()
    gaps, seconds, proven, saved = [], [], 0, []
    for number in range(asked.jobs):
        seed = asked.seed + number
        chance = Random(seed * 7919)
        problem = job(
            seed,
            blanks=asked.blanks,
            types=asked.types or max(5, min(500, chance.randint(asked.blanks // 4, asked.blanks // 2 + 1))),
            widths=asked.widths or chance.choice((1, 1, 2, 3, 5, 9)),
            running=asked.running,
            turned={"yes": True, "no": False, "both": chance.random() < 0.5}[asked.turned],
            rack={"yes": True, "no": False, "both": chance.random() < 0.5}[asked.rack] and not asked.running,
            stages=asked.stages,
            feet=tuple(asked.feet),
            metric=asked.metric,
        )
        begun = time.perf_counter()
        limits = Limits(seconds=asked.seconds, work=10**9, seed=1, now=time.perf_counter)
        plan = nest(problem, limits)
        took = time.perf_counter() - begun
        broken = faults(problem, plan)
        hand = by_hand(problem)
        gap = 100 * (plan.cost - plan.bound) / plan.cost if plan.cost else 0.0
        gaps.append(gap)
        seconds.append(took)
        proven += plan.cost == plan.bound
        if hand:
            saved.append(100 * (hand - plan.cost) / hand)
        print(
            f"seed {seed}: {len(problem.blanks)} types, {len(problem.rolls)} rolls, cost {plan.cost}, "
            f"bound {plan.bound}, gap {gap:.4f} %, "
            f"by hand {hand}, {plan.ending.value}, {took:.2f} s, work {plan.work} {broken or ''}",
            flush=True,
        )
    print(
        f"{asked.jobs} jobs, {proven} proven, gap mean {statistics.mean(gaps):.4f} % max {max(gaps):.4f} %, "
        f"seconds mean {statistics.mean(seconds):.2f} max {max(seconds):.2f}, "
        f"cheaper than by hand by {statistics.mean(saved or [0]):.1f} %"
    )


if __name__ == "__main__":
    main()
