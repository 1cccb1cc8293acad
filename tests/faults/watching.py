"""Asks a running service for its health all the time, from a process of its own, and weighs its memory."""

from __future__ import annotations

import contextlib
import json
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import httpx
import psutil

if TYPE_CHECKING:
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

    def weigh() -> None:
        while not over.wait(0.25):
            with contextlib.suppress(psutil.NoSuchProcess):
                own = process.memory_info().rss / 1e6
                watched.service_mb = max(watched.service_mb, own)
                children = sum(child.memory_info().rss / 1e6 for child in process.children(recursive=True))
                watched.family_mb = max(watched.family_mb, own + children)

    asker = subprocess.Popen(
        [sys.executable, __file__, str(service.client.base_url)], stdin=subprocess.PIPE, stdout=subprocess.PIPE
    )
    weigher = threading.Thread(target=weigh)
    weigher.start()
    yield watched
    over.set()
    weigher.join()
    told, _ = asker.communicate(b"")
    watched.seconds, watched.unanswered = json.loads(told)


def _ask(address: str) -> None:
    """Ask until standard input is closed; print the seconds of each answer, and how often there was none."""
    over = threading.Event()

    def listen() -> None:
        sys.stdin.read()
        over.set()

    threading.Thread(target=listen, daemon=True).start()
    seconds, unanswered = [], 0
    with httpx.Client(base_url=address, timeout=10) as client:
        while not over.wait(0.05):
            started = time.monotonic()
            try:
                client.get("/health/live").raise_for_status()
                seconds.append(time.monotonic() - started)
            except httpx.HTTPError:
                unanswered += 1
    print(json.dumps([seconds, unanswered]))


if __name__ == "__main__":
    _ask(sys.argv[1])
