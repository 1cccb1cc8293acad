"""Runs calls in warm child processes: native code can crash, hang or eat memory without harm to this process."""

from __future__ import annotations

import contextlib
import threading

from service.engine.calls import Call, Lost, Outcome, Report, Stop
from service.engine.slot import Slot

RECYCLE_AFTER_CALLS = 50


def never() -> bool:
    """Return False: the answer stays wanted."""
    return False


def unheard(progress: bytes) -> None:
    """Take a report of progress and do nothing with it."""
    del progress


class Guard:
    """A stack of warm slots. Any thread may call ``run``; each running call has a child of its own."""

    def __init__(
        self, recycle_after_calls: int = RECYCLE_AFTER_CALLS, modules: tuple[str, ...] = ("service.engine.tasks",)
    ) -> None:
        self._modules = modules
        self._recycle_after_calls = recycle_after_calls
        self._warm: list[Slot] = []
        self._lock = threading.Lock()
        self._closed = False

    def warm_up(self) -> None:
        """Start a child ahead of its first call; one that cannot be started is missed by that call."""
        with contextlib.suppress(OSError):
            self._give_back(self._slot())

    def run(self, call: Call, stop: Stop = never, report: Report = unheard) -> Outcome:
        """Run a call in a child and return how it ended; never raises for what the child does."""
        try:
            slot = self._slot()
        except OSError as error:
            return Lost(f"a child process could not be started: {error}")
        try:
            outcome = slot.run(call, stop, report)
        except BaseException:
            slot.close()
            raise
        self._give_back(slot)
        return outcome

    def close(self) -> None:
        """End every child that is not at work; one at work ends with its call."""
        with self._lock:
            self._closed = True
            warm, self._warm = self._warm, []
        for slot in warm:
            slot.close()

    def _slot(self) -> Slot:
        while True:
            with self._lock:
                if not self._warm:
                    break
                slot = self._warm.pop()
            if slot.fit:
                return slot
            slot.close()
        return Slot(self._modules)

    def _give_back(self, slot: Slot) -> None:
        with self._lock:
            if slot.alive and slot.calls < self._recycle_after_calls and not self._closed:
                self._warm.append(slot)
                return
        slot.close()
