"""What the job store's workers ask of the rack of leftovers."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

from service.leftovers.records import NewPiece, RackPiece
from service.leftovers.settlement import Settlement


class Leftovers(Protocol):
    """The rack of every tenant; each method is one transaction and changes nothing when it is called again.

    ``job`` is the first job of a chain.
    """

    def at_hand(self, tenant: str, job: str = "") -> list[RackPiece]:
        """Return what a job may be planned with: the free pieces, and those promised to it already."""

    def handed_over(self, tenant: str, job: str) -> list[RackPiece]:
        """Return what a job left over and was confirmed since, whatever became of it."""

    def promise(self, tenant: str, job: str, settlement: Settlement, *, first: bool = False) -> None:
        """Promise what a plan takes before it is committed, all or nothing.

        Raises
        ------
        PieceTakenError, UnknownPieceError
            If another job was faster, or a leftover of this one was confirmed that the plan does not know of.
        """

    def settle(self, tenant: str, job: str, settlement: Settlement) -> int:
        """Note what a job's latest plan takes and leaves; return how many leftovers find no room."""

    def release(self, tenant: str, job: str, lying: Sequence[NewPiece] = ()) -> Sequence[RackPiece]:
        """Free what a job has reserved; what is ``lying`` there already stays expected."""

    def unsettled(self, seconds: float) -> list[tuple[str, str]]:
        """Return tenant and job of every promise that was not settled for so long."""

    def drop_promise(self, tenant: str, job: str) -> None:
        """Forget that a promise waits to be settled."""


class NoLeftovers:
    """A rack that is always empty, for a service or a test without one."""

    def at_hand(self, tenant: str, job: str = "") -> list[RackPiece]:
        """Return nothing."""
        del tenant, job
        return []

    def handed_over(self, tenant: str, job: str) -> list[RackPiece]:
        """Return nothing."""
        del tenant, job
        return []

    def promise(self, tenant: str, job: str, settlement: Settlement, *, first: bool = False) -> None:
        """Promise nothing."""
        del tenant, job, settlement, first

    def settle(self, tenant: str, job: str, settlement: Settlement) -> int:
        """Note nothing."""
        del tenant, job, settlement
        return 0

    def release(self, tenant: str, job: str, lying: Sequence[NewPiece] = ()) -> Sequence[RackPiece]:
        """Free nothing."""
        del tenant, job, lying
        return ()

    def unsettled(self, seconds: float) -> list[tuple[str, str]]:
        """Return nothing."""
        del seconds
        return []

    def drop_promise(self, tenant: str, job: str) -> None:
        """Forget nothing."""
        del tenant, job
