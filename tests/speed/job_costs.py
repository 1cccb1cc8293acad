"""What one job costs the service: processor seconds, bytes of files and of database, by its number of openings.

Run: ``python -m tests.speed.job_costs``
"""

from __future__ import annotations

import json
import resource
import tempfile
from pathlib import Path

from tests.faults.storm import storm


def sheet(openings: int, number: int) -> bytes:
    """Openings of a dozen types and some odd ones, as in a block of apartments."""
    rows = [
        f"W{n},{24 + n % 12 * 2} {n % 4}/4,{36 + n % 12 * 2} {number % 16}/16"
        if n % 5
        else f"W{n},{25 + n % 23},{40 + n % 19}"
        for n in range(openings)
    ]
    return ("label,width,height\n" + "\n".join(rows)).encode()


def main() -> None:
    """Print the costs."""
    for openings, jobs in ((2, 40), (40, 12), (400, 3)):
        with tempfile.TemporaryDirectory() as folder:
            before = _processor_seconds()
            with storm(Path(folder), seed=1, services=1) as raging:
                service = raging.services[0]
                settings = json.dumps({"unit": "in", "seconds": 20})
                handed = [service.hand_in(sheet(openings, n), settings=settings).json()["id"] for n in range(jobs)]
                for job in handed:
                    assert service.await_end(job, "done", "failed", seconds=300)["state"] == "done"
                raging.stop()
            spent = _processor_seconds() - before
            data = Path(folder) / "data"
            files = sum(path.stat().st_size for path in (data / "files").rglob("*") if path.is_file())
            rows = sum(path.stat().st_size for path in data.glob("jobs.sqlite3*"))
            print(
                f"{openings} openings: {spent / jobs:.2f} processor seconds, "
                f"{files / jobs / 1_000:.0f} KB of files, {rows / jobs / 1_000:.1f} KB of database a job ({jobs} jobs)"
            )


def _processor_seconds() -> float:
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


if __name__ == "__main__":
    main()
