"""SIGSTOP past the lease: another process takes over, and the one that wakes up cannot commit what it still holds.

Run: ``python -m tests.faults.frozen --freezes 20``
"""

from __future__ import annotations

import argparse
import signal
import sys
import tempfile
import time
from pathlib import Path

from tests.faults.storm import report, storm


def frozen(folder: Path, *, freezes: int, jobs: int, seed: int) -> tuple[dict[str, object], list[str]]:
    """Return what was done and what was not as promised."""
    with storm(folder, seed) as raging:
        for service in raging.services:
            service.client.timeout = 2
        with raging.customers(jobs, seconds=freezes * 10.0 + 60):
            while not raging.jobs:
                time.sleep(0.01)
            for _ in range(freezes):
                sleeper = raging.dice.choice(raging.services).process
                sleeper.send_signal(signal.SIGSTOP)
                time.sleep(raging.dice.uniform(2.5, 4.0))
                sleeper.send_signal(signal.SIGCONT)
                time.sleep(raging.dice.uniform(0.1, 1.0))
        ended = raging.settle(seconds=60 + 3.0 * jobs)
        wrong = raging.stop() + raging.audit()
    return {"freezes": freezes, "jobs": len(raging.jobs), **ended}, wrong


def main() -> int:
    """Freeze as the command line says."""
    words = argparse.ArgumentParser(description=__doc__)
    words.add_argument("--freezes", type=int, default=20)
    words.add_argument("--jobs", type=int, default=40)
    words.add_argument("--seed", type=int, default=1)
    given = words.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        counts, wrong = frozen(Path(folder), freezes=given.freezes, jobs=given.jobs, seed=given.seed)
    return report("SIGSTOP past the lease", counts, wrong)


if __name__ == "__main__":
    sys.exit(main())
