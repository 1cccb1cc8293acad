"""How long jobs wait in a queue that is served by turn, simulated with the service's own rule of turns.

Run: ``python -m tests.speed.queue_simulation``. Times are in seconds of the
simulated service; nothing here depends on the machine.
"""

from __future__ import annotations

import heapq
import itertools
import random
from collections import defaultdict
from collections.abc import Callable, Generator, Sequence
from dataclasses import dataclass, field
from statistics import median
from typing import Any

import simpy

from service.jobs.turns import turns


@dataclass(frozen=True, kw_only=True)
class Arrival:
    """A job that arrives: when, whose, and the seconds that each of its parts takes."""

    at: float
    tenant: str
    parts: Sequence[float]


@dataclass
class Simulated:
    """What came of it: by tenant the seconds from arrival to the last part's end, and to the first part's start."""

    done_after: dict[str, list[float]] = field(default_factory=lambda: defaultdict(list))
    begun_after: dict[str, list[float]] = field(default_factory=lambda: defaultdict(list))


def in_turn(next_turn: int, active_jobs: int, weights: Sequence[int]) -> list[int]:
    """Order parts as the service does."""
    return turns(next_turn, active_jobs, weights)


def first_come(next_turn: int, active_jobs: int, weights: Sequence[int]) -> list[int]:
    """Order parts by arrival, for comparison."""
    del next_turn, active_jobs
    return [0] * len(weights)


def simulate(
    arrivals: Sequence[Arrival], workers: int, rule: Callable[[int, int, Sequence[int]], list[int]]
) -> Simulated:
    """Return how long every job took with that many workers and that rule of turns."""
    environment = simpy.Environment()
    queue: list[tuple[int, int, int, float]] = []
    order = itertools.count()
    work = simpy.Container(environment)
    active: dict[str, int] = defaultdict(int)
    open_parts: dict[int, int] = {}
    begun: set[int] = set()
    last_turn = 0
    outcome = Simulated()

    def arrive() -> Generator[Any, None, None]:
        for number, job in enumerate(arrivals):
            yield environment.timeout(job.at - environment.now)
            active[job.tenant] += 1
            open_parts[number] = len(job.parts)
            next_turn = queue[0][0] if queue else last_turn
            for turn, seconds in zip(rule(next_turn, active[job.tenant], [1] * len(job.parts)), job.parts, strict=True):
                heapq.heappush(queue, (turn, next(order), number, seconds))
            yield work.put(len(job.parts))

    def serve() -> Generator[Any, None, None]:
        nonlocal last_turn
        while True:
            yield work.get(1)
            last_turn, _, number, seconds = heapq.heappop(queue)
            job = arrivals[number]
            if number not in begun:
                begun.add(number)
                outcome.begun_after[job.tenant].append(environment.now - job.at)
            yield environment.timeout(seconds)
            open_parts[number] -= 1
            if not open_parts[number]:
                active[job.tenant] -= 1
                outcome.done_after[job.tenant].append(environment.now - job.at)

    environment.process(arrive())
    for _ in range(workers):
        environment.process(serve())
    environment.run()
    return outcome


def mixed_load(dice: random.Random, *, hours: float, jobs_an_hour: float, tenants: int) -> list[Arrival]:
    """Small jobs of many tenants at random times, beside one job of 20,000 parts that came first."""
    arrivals = [Arrival(at=0.0, tenant="giant", parts=[1.0] * 20_000)]
    now = 0.0
    while now < hours * 3_600:
        now += dice.expovariate(jobs_an_hour / 3_600)
        parts = [dice.uniform(0.1, 0.8) for _ in range(dice.randint(3, 8))]
        arrivals.append(Arrival(at=now, tenant=f"shop {dice.randrange(tenants)}", parts=parts))
    return arrivals


def peak_load(dice: random.Random, *, jobs_an_hour: float, tenants: int) -> list[Arrival]:
    """An hour at peak: small jobs at random times, one in fifty of them fifty times as large."""
    arrivals, now = [], 0.0
    while now < 3_600:
        now += dice.expovariate(jobs_an_hour / 3_600)
        size = 50 if dice.random() < 0.02 else 1
        parts = [size * dice.uniform(0.05, 0.5) for _ in range(dice.randint(3, 8))]
        arrivals.append(Arrival(at=now, tenant=f"shop {dice.randrange(tenants)}", parts=parts))
    return arrivals


def _line(name: str, seconds: Sequence[float]) -> str:
    ranked = sorted(seconds)
    ends = f"median {median(ranked):.1f} s, 95 % {ranked[len(ranked) * 95 // 100]:.1f} s, longest {ranked[-1]:.1f} s"
    return f"  {name}: {len(ranked)} jobs, {ends}"


def main() -> None:
    """Print the waiting times that DEVELOPERS.md claims."""
    for rule in (first_come, in_turn):
        arrivals = mixed_load(random.Random(1), hours=1, jobs_an_hour=300, tenants=20)
        outcome = simulate(arrivals, workers=2, rule=rule)
        small = [seconds for tenant, all_ in outcome.done_after.items() if tenant != "giant" for seconds in all_]
        print(f"a job of 20,000 parts and 300 small jobs an hour on 2 workers, {rule.__name__.replace('_', ' ')}:")
        print(_line("small jobs done after", small))
        print(_line("giant done after", outcome.done_after["giant"]))
    for openings, jobs_an_hour, workers in ((1_000, 5, 1), (100_000, 500, 2), (10_000_000, 50_000, 64)):
        arrivals = peak_load(random.Random(1), jobs_an_hour=jobs_an_hour, tenants=max(3, jobs_an_hour // 20))
        outcome = simulate(arrivals, workers=workers, rule=in_turn)
        every = [seconds for all_ in outcome.done_after.values() for seconds in all_]
        busy = sum(sum(job.parts) for job in arrivals) / (3_600 * workers)
        print(
            f"{openings:,} openings a day, peak hour of {jobs_an_hour:,} jobs on {workers} workers ({busy:.0%} busy):"
        )
        print(_line("done after", every))


if __name__ == "__main__":
    main()
