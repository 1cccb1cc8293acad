"""One look into the store a tick for everybody who follows a job, however many follow."""

from __future__ import annotations

import asyncio
import contextlib
from collections import Counter
from collections.abc import AsyncIterator

from starlette.concurrency import run_in_threadpool

from service.errors import StoreDownError
from service.jobs.desk import Desk

_TICK_SECONDS = 0.5


class Watch:
    """Tells followers of a job when its version changes. Lives on one event loop."""

    def __init__(self, desk: Desk, *, most_followers: int = 500) -> None:
        self._desk = desk
        self._most_followers = most_followers
        self._followers: Counter[str] = Counter()
        self._versions: dict[str, int] = {}
        self._tick = asyncio.Event()
        self._ticker: asyncio.Task[None] | None = None

    @property
    def full(self) -> bool:
        """Whether nobody more can follow a job here."""
        return self._followers.total() >= self._most_followers

    async def versions(self, job_id: str, known: int) -> AsyncIterator[int]:
        """Yield each version of a job that differs from the last one known; ends when the job is gone."""
        self._followers[job_id] += 1
        if self._ticker is None or self._ticker.done():
            self._ticker = asyncio.create_task(self._look())
        try:
            while True:
                tick = self._tick
                version = self._versions.get(job_id)
                if version is not None and version < 0:
                    return
                if version is not None and version != known:
                    known = version
                    yield version
                await tick.wait()
        finally:
            self._followers[job_id] -= 1
            if not self._followers[job_id]:
                del self._followers[job_id]
                self._versions.pop(job_id, None)

    async def _look(self) -> None:
        while self._followers:
            followed = list(self._followers)
            with contextlib.suppress(StoreDownError):
                found = await run_in_threadpool(self._desk.versions, followed)
                self._versions |= {job_id: found.get(job_id, -1) for job_id in followed}
            self._tick.set()
            self._tick = asyncio.Event()
            await asyncio.sleep(_TICK_SECONDS)
