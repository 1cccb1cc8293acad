"""What the job store's workers ask of the rack of leftovers."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from typing import Protocol

from service.leftovers.records import RackPiece
from service.leftovers.settlement import Settlement


class Leftovers(Protocol):
    """The rack of every tenant; each method is one transaction and changes nothing when it is called again.

    ``job`` is the first job of a chain.
    """

    def at_hand(self, tenant: str, job: str = "") -> list[RackPiece]:
        """Return what a job may be planned with: the free pieces, and those promised to it already."""

    def handed_over(self, tenant: str, job: str) -> list[RackPiece]:
        """Return what a job left over and was confirmed since, whatever became of it."""

    def reserve(self, tenant: str, job: str, ids: Collection[str]) -> Sequence[RackPiece]:
        """Promise pieces to a job, all or none.

        Raises
        ------
        PieceTakenError, UnknownPieceError
            If another job was faster.
        """

    def settle(self, tenant: str, job: str, settlement: Settlement) -> int:
        """Note what a job's latest plan takes and leaves; return how many leftovers find no room."""

    def release(self, tenant: str, job: str) -> Sequence[RackPiece]:
        """Free what a job has reserved."""


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

    def reserve(self, tenant: str, job: str, ids: Collection[str]) -> Sequence[RackPiece]:
        """Promise nothing."""
        del tenant, job, ids
        return ()

    def settle(self, tenant: str, job: str, settlement: Settlement) -> int:
        """Note nothing."""
        del tenant, job, settlement
        return 0

    def release(self, tenant: str, job: str) -> Sequence[RackPiece]:
        """Free nothing."""
        del tenant, job
        return ()
