"""How much of a calculation's limits is used up, counted in work units."""

from __future__ import annotations

from dataclasses import replace

from solver.limits import Ending, Limits, Progress


class Effort:
    """Counts work and says when to end.

    A work unit is about a millisecond of one core. It is counted from numbers
    that do not depend on the machine (array cells filled, simplex pivots,
    deterministic solver time); the clock is only a guard.
    """

    CELLS = 1_500_000
    """Cells of a filling table that make one unit."""

    LITTLE, MOST_AFTER = 300, 5_000
    """What settling ties may use at least and at most, in units."""

    def __init__(self, limits: Limits, *, whole: Effort | None = None) -> None:
        self.limits = limits
        self.used = 0.0
        self._whole = whole
        self._start: float = limits.now() if whole is None else whole._start
        self._ending: Ending | None = None
        self._shown: tuple[int | None, int | None] = (None, None)

    def portion(self, units: float) -> Effort:
        """Return a counter for a step that may use so many units; what it uses counts here too.

        Progress of the step is not reported: it is about another problem.
        """
        limits = replace(self.limits, work=int(min(units, self.work_left)), report=_silent)
        return Effort(limits, whole=self)

    def extension(self, per_mille: int) -> Effort:
        """Return a counter for what comes after the search, beyond its limits.

        It may use a share of the work limit, but no more than the search used
        (or a little, if that was less), and seconds up to a twentieth past the
        limit.
        """
        units = min(self.limits.work * per_mille / 1000, max(self.LITTLE, self.used), self.MOST_AFTER)
        seconds = min(self.seconds + self.limits.seconds * per_mille / 1000, self.limits.seconds * 1.05)
        return Effort(replace(self.limits, work=int(units), seconds=seconds, report=_silent), whole=self)

    def spend(self, units: float) -> None:
        """Count work that was done."""
        self.used += units
        if self._whole is not None:
            self._whole.spend(units)

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


def _silent(progress: Progress) -> None:
    del progress
