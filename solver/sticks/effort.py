"""How much of a calculation's limits is used up, counted in work units."""

from __future__ import annotations

from solver.limits import Ending, Limits, Progress


class Effort:
    """Counts work and says when to end.

    A work unit is about a millisecond of one core. It is counted from numbers
    that do not depend on the machine (array cells filled, simplex pivots,
    deterministic solver time); the clock is only a guard.
    """

    CELLS = 700_000
    """Cells of a filling table that make one unit."""

    def __init__(self, limits: Limits) -> None:
        self.limits = limits
        self.used = 0.0
        self._start = limits.now()
        self._ending: Ending | None = None
        self._shown: tuple[int | None, int | None] = (None, None)

    def spend(self, units: float) -> None:
        """Count work that was done."""
        self.used += units

    @property
    def seconds(self) -> float:
        """Seconds since the start, by the clock that was handed in."""
        return self.limits.now() - self._start

    @property
    def seconds_left(self) -> float:
        """Seconds until the guard strikes."""
        return self.limits.seconds - self.seconds

    @property
    def work_left(self) -> float:
        """Units until the work limit."""
        return self.limits.work - self.used

    def over(self) -> Ending | None:
        """Return why the calculation must end now, or None."""
        if self._ending is None:
            if self.limits.stop():
                self._ending = Ending.STOPPED
            elif self.used >= self.limits.work:
                self._ending = Ending.WORK
            elif self.seconds_left <= 0:
                self._ending = Ending.SECONDS
        return self._ending

    def report(self, cost: int | None, bound: int | None) -> None:
        """Tell the caller about a better cost or bound, once."""
        if (cost, bound) != self._shown:
            self._shown = (cost, bound)
            self.limits.report(Progress(cost=cost, bound=bound))
