"""Asks a running service for its health all the time and notes how long it took and how much memory it uses."""

from __future__ import annotations

import contextlib
import threading
import time
from collections.abc import Iterator
from dataclasses import dataclass, field

import httpx
import psutil

from tests.service.running_service import RunningService


@dataclass
class Watched:
    """Seconds of each answer to a health request, refusals, and the most memory in MB."""

    seconds: list[float] = field(default_factory=list)
    unanswered: int = 0
    service_mb: float = 0.0
    family_mb: float = 0.0

    def figures(self) -> dict[str, object]:
        """Return the figures for a report."""
        slowest = sorted(self.seconds)
        return {
            "health asked": len(slowest),
            "unanswered": self.unanswered,
            "median ms": round(1_000 * slowest[len(slowest) // 2], 1),
            "99 % ms": round(1_000 * slowest[len(slowest) * 99 // 100], 1),
            "slowest ms": round(1_000 * slowest[-1], 1),
            "service MB": round(self.service_mb),
            "with children MB": round(self.family_mb),
        }


@contextlib.contextmanager
def watching(service: RunningService) -> Iterator[Watched]:
    """Watch a service while the block runs."""
    watched, over = Watched(), threading.Event()
    process = psutil.Process(service.process.pid)

    def ask() -> None:
        with httpx.Client(base_url=str(service.client.base_url), timeout=10) as client:
            while not over.wait(0.05):
                started = time.monotonic()
                try:
                    client.get("/health/live").raise_for_status()
                    watched.seconds.append(time.monotonic() - started)
                except httpx.HTTPError:
                    watched.unanswered += 1

    def weigh() -> None:
        while not over.wait(0.25):
            with contextlib.suppress(psutil.NoSuchProcess):
                own = process.memory_info().rss / 1e6
                watched.service_mb = max(watched.service_mb, own)
                children = sum(child.memory_info().rss / 1e6 for child in process.children(recursive=True))
                watched.family_mb = max(watched.family_mb, own + children)

    threads = [threading.Thread(target=ask), threading.Thread(target=weigh)]
    for thread in threads:
        thread.start()
    yield watched
    over.set()
    for thread in threads:
        thread.join()
