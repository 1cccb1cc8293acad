"""How fast the job store is: jobs taken in, parts handed out and committed, bytes a job, with a long queue behind.

Run: ``python -m tests.speed.store_rates --queued 20000`` (SQLite and a throw-away PostgreSQL).
"""

from __future__ import annotations

import argparse
import tempfile
import time
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from service.job_settings import JobSettings
from service.jobs.bench import Bench, NewPart
from service.jobs.desk import Desk, Wish
from service.jobs.records import Attachment, Task
from service.jobs.sql_store import SqlStore
from tests.service.throwaway import ThrowawayPostgresql

_DIGEST = "ab" * 32


def main() -> None:
    """Measure both databases."""
    words = argparse.ArgumentParser(description=__doc__)
    words.add_argument("--queued", type=int, default=20_000)
    words.add_argument("--cycles", type=int, default=500)
    given = words.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "jobs.sqlite3"
        measure("SQLite", f"sqlite:///{path}", given.queued, given.cycles)
        print(f"  bytes a queued part {path.stat().st_size / given.queued:.0f}")
    with ThrowawayPostgresql() as server:
        measure("PostgreSQL", server.url, given.queued, given.cycles)


def measure(name: str, url: str, queued: int, cycles: int) -> None:
    """Print the rates of one database."""
    store = SqlStore(url)
    desk, bench = Desk(store, queue_cap=10**9), Bench(store)
    big = desk.accept(_wish("big-shop"))
    claim = bench.claim("worker")
    assert claim is not None
    parts = [NewPart(name=f"rails {n}", payload=_DIGEST, weight=1) for n in range(queued)]
    taken = _seconds(lambda: bench.checked(claim, (), _DIGEST, parts))
    print(f"{name}: {queued} parts of one job queued in {taken:.1f} s")
    accepted = _seconds(lambda: [desk.accept(_wish("shop")) for _ in range(cycles)])
    claimed = _seconds(lambda: _cycles(bench, cycles))
    print(
        f"  jobs taken in {cycles / accepted:.0f} a second, parts claimed and committed {cycles / claimed:.0f} a second"
    )
    with ThreadPoolExecutor(8) as threads:
        side_by_side = _seconds(lambda: list(threads.map(lambda _: _cycle(bench), range(cycles))))
    print(f"  with 8 workers {cycles / side_by_side:.0f} a second; view of the large job "
          f"{1_000 * _seconds(lambda: desk.view('big-shop', big.id)):.0f} ms")  # fmt: skip
    store.close()


def _cycles(bench: Bench, cycles: int) -> None:
    for _ in range(cycles):
        _cycle(bench)


def _cycle(bench: Bench) -> None:
    claim = bench.claim("worker")
    assert claim is not None
    if claim.part.task is Task.CHECK:
        bench.failed(claim, "measured enough")
    else:
        bench.solved(claim, _DIGEST, 100, 100)


def _wish(tenant: str) -> Wish:
    return Wish(tenant=tenant, upload=Attachment(name="job.xlsx", digest=_DIGEST, size=1), settings=JobSettings())


def _seconds(work: Callable[[], object]) -> float:
    started = time.monotonic()
    work()
    return time.monotonic() - started


if __name__ == "__main__":
    main()
