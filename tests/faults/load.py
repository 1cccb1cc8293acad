"""Many small jobs uploaded at once: all finish, none is lost, health is answered throughout, memory stays bounded.

Run: ``python -m tests.faults.load --jobs 200 [--database URL]``
"""

from __future__ import annotations

import argparse
import asyncio
import json
import sys
import tempfile
import time
from pathlib import Path

import httpx

from tests.faults.storm import Storm, report, rows, storm
from tests.faults.watching import watching


def load(folder: Path, *, jobs: int, database: str = "") -> tuple[dict[str, object], list[str]]:
    """Return the figures and what was not as promised."""
    with storm(folder, seed=1, database=database, services=1) as raging:
        service = raging.services[0]
        with watching(service) as watched:
            started = time.monotonic()
            asyncio.run(_all_at_once(raging, jobs))
            acknowledged = time.monotonic() - started
            ended = raging.settle(seconds=60 + 4.0 * jobs)
            took = time.monotonic() - started
        wrong = raging.stop() + raging.audit()
        if len(raging.jobs) < jobs:
            wrong.append(f"only {len(raging.jobs)} of {jobs} jobs were acknowledged")
        if watched.unanswered:
            wrong.append(f"{watched.unanswered} health requests went unanswered")
    times = {"all acknowledged s": round(acknowledged, 1), "all done s": round(took, 1)}
    return {"jobs": len(raging.jobs), **ended, **times, **watched.figures()}, wrong


async def _all_at_once(raging: Storm, jobs: int) -> None:
    base = str(raging.services[0].client.base_url)
    limits = httpx.Limits(max_connections=jobs)
    async with httpx.AsyncClient(base_url=base, timeout=120, limits=limits) as client:

        async def hand_in(number: int) -> None:
            files = {"file": (f"job {number}.csv", rows(number))}
            answer = await client.post("/jobs", files=files, data={"settings": json.dumps({"unit": "in"})})
            if answer.status_code == 202:
                raging.jobs[number] = answer.json()["id"]

        await asyncio.gather(*(hand_in(number) for number in range(jobs)))


def main() -> int:
    """Load as the command line says."""
    words = argparse.ArgumentParser(description=__doc__)
    words.add_argument("--jobs", type=int, default=200)
    words.add_argument("--database", default="", help="default: SQLite in a temporary folder")
    given = words.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        counts, wrong = load(Path(folder), jobs=given.jobs, database=given.database)
    return report("load", counts, wrong)


if __name__ == "__main__":
    sys.exit(main())
