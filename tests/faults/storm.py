"""Services that share a store and lose their processes at random, customers who do not give up, and the audit after."""

from __future__ import annotations

import contextlib
import json
import random
import sqlite3
import threading
import time
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import httpx
import psutil

from service.jobs.files import FolderFiles
from service.jobs.records import JobState, PartState
from service.jobs.sql_store import SqlStore
from service.jobs.store import Ledger
from tests.service.running_service import RunningService


def rows(number: int) -> bytes:
    """A small job that differs from every other."""
    width, height = 24 + number % 31, 30 + number % 37
    return f"label,width,height\nA{number},{width} {number % 16}/16,{height}\nB{number},{width},{height}\n".encode()


@dataclass
class Storm:
    """``services`` share one store; ``jobs`` are those acknowledged, by the customer's own number."""

    services: list[RunningService]
    database: str
    files: Path
    dice: random.Random
    jobs: dict[int, str] = field(default_factory=dict)
    slowest_health: float = 0.0
    kills: int = 0

    def hand_in(self, number: int, end: float) -> None:
        """Hand a job in with a key of its own, at any service that answers, until it is acknowledged."""
        while time.monotonic() < end:
            service = self.dice.choice(self.services)
            with contextlib.suppress(httpx.TransportError):
                answer = service.client.post(
                    "/jobs",
                    files={"file": (f"job {number}.csv", rows(number))},
                    data={"settings": json.dumps({"unit": "in"})},
                    headers={"Idempotency-Key": f"job {number}"},
                )
                if answer.status_code == 202:
                    job = answer.json()["id"]
                    assert self.jobs.setdefault(number, job) == job, "one key gave two jobs"
                    return
            time.sleep(0.05)

    @contextlib.contextmanager
    def customers(self, jobs: int, seconds: float, at_once: int = 4) -> Iterator[list[threading.Thread]]:
        """Let customers hand in that many jobs in the background."""
        end = time.monotonic() + seconds
        numbers = iter(range(jobs))
        lock = threading.Lock()

        def customer() -> None:
            while time.monotonic() < end:
                with lock:
                    number = next(numbers, None)
                if number is None:
                    return
                self.hand_in(number, end)

        threads = [threading.Thread(target=customer) for _ in range(at_once)]
        for thread in threads:
            thread.start()
        yield threads
        for thread in threads:
            thread.join()

    def strike(self) -> None:
        """Kill one service with SIGKILL and start it again."""
        service = self.dice.choice(self.services)
        service.kill()
        self.kills += 1
        service.process = service._start()

    def settle(self, seconds: float) -> Counter[str]:
        """Wait until every acknowledged job has ended; return how many ended how."""
        for service in self.services:
            if service.process.poll() is not None:
                service.process = service._start()
            service.await_ready(60)
        end = time.monotonic() + seconds
        states: dict[str, str] = {}
        while time.monotonic() < end:
            for job in self.jobs.values():
                if states.get(job) not in {"done", "failed", "cancelled"}:
                    states[job] = self.services[0].client.get(f"/jobs/{job}").raise_for_status().json()["state"]
            if all(state in {"done", "failed", "cancelled"} for state in states.values()):
                break
            time.sleep(0.2)
        return Counter(states.values())

    def audit(self) -> list[str]:
        """Return everything that is not as promised, looking at the store itself."""
        wrong: list[str] = []
        store, files = SqlStore(self.database), FolderFiles(self.files)

        def look(ledger: Ledger) -> None:
            kept = {job.id: job for job in ledger.jobs("local", list(JobState), None, 10**6)}
            wrong.extend(f"lost: {job}" for job in self.jobs.values() if job not in kept)
            wrong.extend(f"nobody was told of {job}" for job in kept if job not in self.jobs.values())
            for job in kept.values():
                parts = ledger.parts(job.id)
                wrong.extend(f"{part.id} is {part.state.value}" for part in parts if not part.state.ended)
                if job.state is not JobState.DONE:
                    wrong.append(f"{job.id} is {job.state.value}: {job.trouble}")
                    continue
                names = Counter(part.name for part in parts)
                wrong.extend(f"{job.id}: {name} {times} times" for name, times in names.items() if times > 1)
                wrong.extend(f"{part.id} is {part.state}" for part in parts if part.state is not PartState.DONE)
                wrong.extend(
                    f"{job.id}: {document.name} is damaged"
                    for document in job.documents
                    if len(files.get(document.digest)) != document.size
                )

        store.look(look)
        store.close()
        wrong.extend(self._committed_twice())
        wrong.extend(self._integrity())
        return wrong

    def stop(self) -> list[str]:
        """Stop every service; return the processes that are left."""
        families = [psutil.Process(service.process.pid).children(recursive=True) for service in self.services]
        for service in self.services:
            service.stop()
            service.client.close()
        _, left = psutil.wait_procs([child for family in families for child in family], timeout=5)
        return [f"left running: {process}" for process in left]

    def _committed_twice(self) -> list[str]:
        """An answer is logged after its commit; two such lines for one part would be two commits."""
        done: Counter[tuple[str, str]] = Counter()
        for log in {service.log for service in self.services}:
            for line in log.read_text().splitlines():
                if '"event": "part done"' in line:
                    said: dict[str, Any] = json.loads(line)
                    done[said["job"], said["part"]] += 1
        return [f"committed {times} times: {part}" for part, times in done.items() if times > 1]

    def _integrity(self) -> list[str]:
        if not self.database.startswith("sqlite"):
            return []
        with contextlib.closing(sqlite3.connect(self.database.removeprefix("sqlite:///"))) as database:
            found = [row[0] for row in database.execute("PRAGMA integrity_check")]
            keys = database.execute("PRAGMA foreign_key_check").fetchall()
        return [f"integrity: {row}" for row in found if row != "ok"] + [f"foreign key: {row}" for row in keys]


@contextlib.contextmanager
def storm(
    folder: Path, seed: int, database: str = "", services: int = 2, logs: Path | None = None, **settings: str
) -> Iterator[Storm]:
    """Start services that share one data folder and one store."""
    data = folder / "data"
    url = database or f"sqlite:///{(data / 'jobs.sqlite3').resolve()}"
    more = {"log": "json", "database": url, "requests_at_once": "100000", "requests_per_second": "10000"} | settings
    running = [RunningService(data, logs, **more) for _ in range(services)]
    raging = Storm(running, url, data / "files", random.Random(seed))
    try:
        for service in running:
            service.await_ready()
        yield raging
    finally:
        for service in running:
            if service.process.poll() is None:
                service.kill()


def report(name: str, counts: dict[str, object], wrong: list[str]) -> int:
    """Print a line for the table of promises; return the exit code."""
    told = ", ".join(f"{key} {value}" for key, value in counts.items())
    print(f"{name}: {told}; {'as promised' if not wrong else f'{len(wrong)} BROKEN'}")
    for line in wrong[:20]:
        print(f"  {line}")
    return 1 if wrong else 0


def timed(work: Callable[[], object]) -> float:
    """Return the seconds that something took."""
    started = time.monotonic()
    work()
    return time.monotonic() - started
