"""The database, the scheduler or a worker is gone and comes back: jobs wait, none is lost, none is blamed.

Run: ``python -m tests.faults.outages --outages 10``
"""

from __future__ import annotations

import argparse
import sys
import tempfile
import time
from pathlib import Path

from tests.faults.storm import report, storm
from tests.service.engine.dask_cluster import RunningCluster
from tests.service.throwaway import ThrowawayPostgresql


def database_gone(folder: Path, *, outages: int, jobs: int, seed: int) -> tuple[dict[str, object], list[str]]:
    """Crash the database server again and again; return what was done and what was not as promised."""
    with ThrowawayPostgresql() as server, storm(folder, seed, server.url) as raging:
        with raging.customers(jobs, seconds=outages * 12.0 + 90):
            while not raging.jobs:
                time.sleep(0.01)
            for _ in range(outages):
                time.sleep(raging.dice.uniform(0.2, 3.0))
                server.stop()
                time.sleep(raging.dice.uniform(0.5, 4.0))
                server.start()
        ended = raging.settle(seconds=60 + 3.0 * jobs)
        wrong = raging.stop() + raging.audit()
    return {"outages": outages, "jobs": len(raging.jobs), **ended}, wrong


def cluster_gone(folder: Path, *, outages: int, jobs: int, seed: int) -> tuple[dict[str, object], list[str]]:
    """Kill scheduler, worker and API process by turns; return what was done and what was not as promised."""
    cluster = RunningCluster()
    worker = cluster.start_worker()
    try:
        with (
            ThrowawayPostgresql() as server,
            storm(folder, seed, server.url, engine=cluster.address, slots="4") as raging,
        ):
            with raging.customers(jobs, seconds=outages * 12.0 + 90):
                while not raging.jobs:
                    time.sleep(0.01)
                for outage in range(outages):
                    time.sleep(raging.dice.uniform(1.0, 4.0))
                    match outage % 3:
                        case 0:
                            worker.kill()
                            worker.wait()
                            worker = cluster.start_worker()
                        case 1:
                            cluster.scheduler.kill()
                            cluster.scheduler.wait()
                            time.sleep(raging.dice.uniform(0.1, 2.0))
                            cluster.start_scheduler()
                            worker.kill()
                            worker.wait()
                            worker = cluster.start_worker()
                        case _:
                            raging.strike()
            ended = raging.settle(seconds=90 + 4.0 * jobs)
            wrong = raging.stop() + raging.audit()
    finally:
        cluster.stop()
    return {"kills": outages, "jobs": len(raging.jobs), **ended}, wrong


def main() -> int:
    """Take things away as the command line says."""
    words = argparse.ArgumentParser(description=__doc__)
    words.add_argument("--outages", type=int, default=10)
    words.add_argument("--jobs", type=int, default=30)
    words.add_argument("--seed", type=int, default=1)
    words.add_argument("--only", choices=["database", "cluster"])
    given = words.parse_args()
    broken = 0
    for name, outage in (("database", database_gone), ("cluster", cluster_gone)):
        if given.only in (None, name):
            with tempfile.TemporaryDirectory() as folder:
                counts, wrong = outage(Path(folder), outages=given.outages, jobs=given.jobs, seed=given.seed)
            broken |= report(f"{name} gone and back", counts, wrong)
    return broken


if __name__ == "__main__":
    sys.exit(main())
