"""Where guarded calls run: the protocol, and the slots of this machine."""

from __future__ import annotations

import os
from typing import Protocol

from service.engine.calls import Call, Outcome, Report, Stop
from service.engine.guard import Guard


class Engine(Protocol):
    """Runs guarded calls, ``slots`` of them side by side."""

    @property
    def slots(self) -> int:
        """How many calls run side by side."""

    def run(self, call: Call, stop: Stop, report: Report) -> Outcome:
        """Run a call to its end; called from as many threads as there are slots."""

    def close(self) -> None:
        """Let go of everything the engine holds."""


class LocalSlots:
    """Guarded children on this machine, by default one for each core."""

    def __init__(self, slots: int | None = None) -> None:
        self._slots = slots or os.cpu_count() or 1
        self._guard = Guard()

    @property
    def slots(self) -> int:
        """How many calls run side by side."""
        return self._slots

    def run(self, call: Call, stop: Stop, report: Report) -> Outcome:
        """Run a call in a child of this process."""
        return self._guard.run(call, stop, report)

    def close(self) -> None:
        """End the children."""
        self._guard.close()
