"""Kill -9 at random over a running load: nothing acknowledged is lost, nothing is committed twice.

Run: ``python -m tests.faults.kill_storm --kills 200 [--database URL]``
"""

from __future__ import annotations

import argparse
import sys
import tempfile
import time
from pathlib import Path

from tests.faults.storm import report, storm


def kill_storm(
    folder: Path, *, kills: int, jobs: int, seed: int, database: str = ""
) -> tuple[dict[str, object], list[str]]:
    """Return what was done and what was not as promised."""
    with storm(folder, seed, database) as raging:
        with raging.customers(jobs, seconds=kills * 6.0 + 60):
            while not raging.jobs:
                time.sleep(0.01)
            for _ in range(kills):
                time.sleep(raging.dice.uniform(0.1, 3.0))
                raging.strike()
        ended = raging.settle(seconds=60 + 3.0 * jobs)
        left = raging.stop()
        wrong = raging.audit() + left
        if len(raging.jobs) < jobs:
            wrong.append(f"only {len(raging.jobs)} of {jobs} jobs were acknowledged")
    return {"kills": raging.kills, "jobs": len(raging.jobs), **ended}, wrong


def main() -> int:
    """Run the storm as the command line says."""
    words = argparse.ArgumentParser(description=__doc__)
    words.add_argument("--kills", type=int, default=200)
    words.add_argument("--jobs", type=int, default=150)
    words.add_argument("--seed", type=int, default=1)
    words.add_argument("--database", default="", help="default: SQLite in a temporary folder")
    given = words.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        counts, wrong = kill_storm(
            Path(folder), kills=given.kills, jobs=given.jobs, seed=given.seed, database=given.database
        )
    return report("kill -9", counts, wrong)


if __name__ == "__main__":
    sys.exit(main())
