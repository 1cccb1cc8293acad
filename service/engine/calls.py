"""What is asked of a guarded child process, and how it can end."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

Stop = Callable[[], bool]
"""Says whether the answer is no longer wanted; asked several times a second, so it must be cheap."""

Report = Callable[[bytes], None]
"""Takes what a running task says of its progress."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Call:
    """One task to run in a child: ``task`` as ``module:function``, which maps ``(payload, report)`` to bytes.

    ``seconds`` is a hard deadline from the start of the task, ``memory`` in
    bytes of private memory.
    """

    task: str
    payload: bytes
    seconds: float
    memory: int


@dataclass(frozen=True, slots=True)
class Answered:
    """The task returned."""

    answer: bytes


@dataclass(frozen=True, slots=True)
class Raised:
    """The task raised an error that it does not raise on purpose; ``trace`` is for the log alone."""

    trace: str


@dataclass(frozen=True, slots=True)
class Crashed:
    """The child died; ``how`` in words, ``trace`` is the end of what it wrote before, for the log alone."""

    how: str
    trace: str


@dataclass(frozen=True, slots=True)
class OutOfMemory:
    """The task asked for more memory than it may have."""

    memory: int


@dataclass(frozen=True, slots=True)
class Overran:
    """The task was killed at its deadline."""

    seconds: float


@dataclass(frozen=True, slots=True)
class Stopped:
    """The task was killed because its answer is no longer wanted."""


@dataclass(frozen=True, slots=True)
class Lost:
    """The engine itself failed: no child could be started, a worker or the network is gone. Never the task's fault."""

    why: str


Outcome = Answered | Raised | Crashed | OutOfMemory | Overran | Stopped | Lost
