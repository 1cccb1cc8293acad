"""One broken rule of a plan."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True, slots=True)
class Fault:
    """A broken rule: where in the plan, which rule, and by how much (ticks, pieces or cents)."""

    where: str
    rule: str
    amount: int

    def __str__(self) -> str:
        """Return the fault as one line."""
        return f"{self.where}: {self.rule} (by {self.amount})"
