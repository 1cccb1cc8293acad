"""How much of its limits a search has used: work units, seconds, and the wish to stop."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from threading import Event, Thread

from solver.limits import Ending, Limits, Progress


class Effort:
    """Counts work units (about a millisecond each) and tells when to end.

    Every step of the search is counted by what it does, not by how long it
    takes, so that the same limits give the same plan on any machine.
    """

    def __init__(self, limits: Limits) -> None:
        self._limits = limits
        self._begun = limits.now()
        self._work = 0.0
        self._ending: Ending | None = None
        self.cost: int | None = None
        self.bound: int | None = None

    @property
    def seed(self) -> int:
        """Start of the search's chance."""
        return self._limits.seed

    @property
    def work(self) -> int:
        """Work units used so far."""
        return round(self._work)

    @property
    def work_left(self) -> float:
        """Work units left."""
        return max(0.0, self._limits.work - self._work)

    @property
    def seconds_left(self) -> float:
        """Seconds left by the caller's clock."""
        return max(0.0, self._limits.seconds - (self._limits.now() - self._begun))

    @property
    def ending(self) -> Ending | None:
        """Which limit was hit, if one was."""
        return self._ending

    def spend(self, units: float) -> None:
        """Count work done."""
        self._work += units

    def over(self) -> bool:
        """Whether a limit is hit or the caller wants to stop."""
        if self._ending is None:
            if self._limits.stop():
                self._ending = Ending.STOPPED
            elif self._work >= self._limits.work:
                self._ending = Ending.WORK
            elif self.seconds_left <= 0:
                self._ending = Ending.SECONDS
        return self._ending is not None

    def report(self) -> None:
        """Tell the caller the best cost and the bound so far."""
        self._limits.report(Progress(cost=self.cost, bound=self.bound))

    @contextmanager
    def watched(self, interrupt: Callable[[], object]) -> Iterator[None]:
        """Call ``interrupt`` as soon as a limit is hit while the body runs in native code."""
        done = Event()

        def watch() -> None:
            while not done.wait(0.1):
                if self._limits.stop() or self.seconds_left <= 0:
                    interrupt()

        watcher = Thread(target=watch, daemon=True)
        watcher.start()
        try:
            yield
        finally:
            done.set()
            watcher.join()
