"""What a calculation may use, and how it is told to stop; the clock is handed in."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from enum import Enum


class Ending(Enum):
    """Why a search stopped. Cost and bound are separate fields beside it."""

    PROVEN = "proven"
    """No plan can cost less: the exact bound equals the cost."""
    WORK = "work limit"
    SECONDS = "time limit"
    EXHAUSTED = "nothing left to try"
    """Every search step was used up before the proof was found."""
    STOPPED = "stopped by request"


@dataclass(frozen=True, kw_only=True, slots=True)
class Progress:
    """One report of a running search: best cost so far and bound proven so far."""

    cost: int | None
    bound: int | None


def _no_clock() -> float:
    return 0.0


def _never() -> bool:
    return False


def _silent(progress: Progress) -> None:
    del progress


@dataclass(frozen=True, kw_only=True, slots=True)
class Limits:
    """Bounds on one calculation, or on all parts of a job together.

    ``work`` is counted in units that do not depend on the machine (one unit is
    about a millisecond of one core, see the planners); ``seconds`` guards
    against a slow machine and is compared with ``now()``, which the caller hands
    in. Without a clock only ``work`` limits the search. Same problem, seed and
    work limit give the same plan as long as ``seconds`` is not reached.
    """

    work: int = 60_000
    seconds: float = 60.0
    seed: int = 1
    now: Callable[[], float] = _no_clock
    stop: Callable[[], bool] = _never
    report: Callable[[Progress], None] = _silent

    def shared(self, among: int) -> Limits:
        """Return the limits of one of ``among`` parts of a job.

        Work is shared evenly, whatever machine solves the parts, so that the plan
        stays the same. The guard in seconds takes it that two parts run side by
        side. A part always gets enough for a sound first plan.

        Examples
        --------
        >>> one = Limits(work=60_000, seconds=45.0).shared(6)
        >>> one.work, one.seconds
        (10000, 15.0)
        """
        work = max(self.work // among, min(self.work, _LEAST_WORK))
        seconds = max(min(self.seconds, 2 * self.seconds / among), min(self.seconds, _LEAST_SECONDS))
        return replace(self, work=work, seconds=seconds)

    def counting(self, unit: int) -> Limits:
        """Return the limits for a calculation that counts cost in lots of ``unit``; its reports say the whole cost.

        Examples
        --------
        >>> told = []
        >>> Limits(report=told.append).counting(5).report(Progress(cost=7, bound=None))
        >>> told
        [Progress(cost=35, bound=None)]
        """

        def report(progress: Progress) -> None:
            cost = None if progress.cost is None else progress.cost * unit
            bound = None if progress.bound is None else progress.bound * unit
            self.report(Progress(cost=cost, bound=bound))

        return replace(self, report=report)


_LEAST_WORK = 2_000
_LEAST_SECONDS = 4.0
