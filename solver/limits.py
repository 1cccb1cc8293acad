"""What a calculation may use, and how it is told to stop; the clock is handed in."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
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
    """Bounds on one calculation.

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
