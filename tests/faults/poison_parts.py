"""Parts that kill, hang or bloat their child fail alone and are named; every other job is done.

Run: ``python -m tests.faults.poison_parts``
"""

from __future__ import annotations

import argparse
import json
import os
import sys
import tempfile
import time
from pathlib import Path

from tests.faults.storm import report, rows, storm

POISON = Path(__file__).parent / "poison"
_WORDS = {
    "POISON-CRASH": "rails 5/16 white: its process died (killed by SIGABRT)",
    "POISON-HANG": "rails 5/16 white: was stopped after",
    "POISON-MEMORY": "rails 5/16 white: needs more than 512 MB of memory",
}


def poison_parts(folder: Path, *, jobs: int, seed: int) -> tuple[dict[str, object], list[str]]:
    """Return what was done and what was not as promised."""
    before = os.environ.get("PYTHONPATH", "")
    os.environ["PYTHONPATH"] = os.pathsep.join([str(POISON), before])
    try:
        with storm(folder, seed, services=1, memory_mb="512", spare_seconds="3") as raging:
            service = raging.services[0]
            settings = json.dumps({"unit": "in", "seconds": 1})
            poisoned = {}
            for kind in _WORDS:
                poison = f"label,width,height\n{kind},30,40\n".encode()
                poisoned[kind] = service.hand_in(poison, name=f"{kind}.csv", settings=settings).json()["id"]
            healthy = [service.hand_in(rows(n), settings=settings).json()["id"] for n in range(jobs)]
            started = time.monotonic()
            wrong = []
            for job in healthy:
                ended = service.await_end(job, seconds=120)
                if ended["state"] != "done":
                    wrong.append(f"a healthy job is {ended['state']}: {ended['trouble']}")
            seconds = round(time.monotonic() - started, 1)
            for kind, job in poisoned.items():
                ended = service.await_end(job, seconds=120)
                if ended["state"] != "failed" or not ended["trouble"].startswith(_WORDS[kind]):
                    wrong.append(f"{kind}: {ended['state']}: {ended['trouble']}")
                if ended["trouble"].count("tried 3 times") != (kind != "POISON-HANG"):
                    wrong.append(f"{kind}: {ended['trouble']}")
            wrong += raging.stop()
    finally:
        os.environ["PYTHONPATH"] = before
    return {"poisoned": len(poisoned), "healthy": len(healthy), "healthy done in seconds": seconds}, wrong


def main() -> int:
    """Poison as the command line says."""
    words = argparse.ArgumentParser(description=__doc__)
    words.add_argument("--jobs", type=int, default=20)
    words.add_argument("--seed", type=int, default=1)
    given = words.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        counts, wrong = poison_parts(Path(folder), jobs=given.jobs, seed=given.seed)
    return report("poison parts", counts, wrong)


if __name__ == "__main__":
    sys.exit(main())
