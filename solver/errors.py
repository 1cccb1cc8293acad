"""Every error the solver raises on purpose, as one tree.

::

    SolverError
    ├── LengthError        a number that is no exact length
    ├── RecordError        a record that contradicts itself
    └── ProblemError       the problem as stated cannot be planned; carries every fault found
"""

from __future__ import annotations

from dataclasses import dataclass


class SolverError(Exception):
    """Base of every error raised on purpose by this package."""


class LengthError(SolverError, ValueError):
    """A number or text that is no exact, usable length."""


class RecordError(SolverError, ValueError):
    """A record whose fields contradict each other; ``field`` names the one to mend, empty if there is none."""

    field: str = ""

    @classmethod
    def of(cls, field: str, message: str) -> RecordError:
        """Return the error with the field to mend."""
        error = cls(message)
        error.field = field
        return error


@dataclass(frozen=True, kw_only=True, slots=True)
class ProblemFault:
    """One reason why a problem cannot be planned, and what would mend it.

    ``source`` is where the office finds it, for example ``openings!C7``; it is
    empty when no single cell is to blame.
    """

    source: str
    message: str

    def __str__(self) -> str:
        """Return the fault as one line."""
        return f"{self.source}: {self.message}" if self.source else self.message


class ProblemError(SolverError):
    """The problem as stated cannot be planned; ``faults`` names every reason found."""

    def __init__(self, faults: tuple[ProblemFault, ...]) -> None:
        super().__init__("\n".join(str(fault) for fault in faults))
        self.faults = faults

    def __reduce__(self) -> tuple[type[ProblemError], tuple[tuple[ProblemFault, ...]]]:
        """Return what rebuilds this error on the other side of a process border."""
        return (ProblemError, (self.faults,))
