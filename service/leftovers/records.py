"""What lies on the rack, and the rules it is kept by."""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import Enum

from solver.errors import RecordError
from solver.lengths import Ticks, inches

ALPHABET = "23456789ABCDEFGHJKLMNPQRSTUVWXYZ"
"""Letters of a piece's code: no 0, 1, I and O, which a label blurs; upper case, which a scan code packs tightly."""

_CODE = re.compile(f"L[{ALPHABET}]{{8}}")


def is_code(name: str) -> bool:
    """Return whether a name is the code of a piece on the rack.

    Examples
    --------
    >>> is_code("L7K2M9QXA"), is_code("8 ft")
    (True, False)
    """
    return _CODE.fullmatch(name) is not None


class PieceState(Enum):
    """Where a piece stands.

    ::

        expected -> free <-> reserved -> used
            |         |
            v         v
         scrapped  scrapped
    """

    EXPECTED = "expected"
    """A plan leaves it over; nobody has measured it yet."""
    FREE = "free"
    RESERVED = "reserved"
    USED = "used"
    SCRAPPED = "scrapped"


@dataclass(frozen=True, kw_only=True, slots=True)
class NewPiece:
    """A leftover as it comes to the rack: a stick by profile and colour, or a piece of mesh by its width.

    ``width`` is 0 for a stick. ``place`` says where on the rack it lies,
    ``source`` what it comes from, ``label`` the code that its job printed for it.
    """

    length: Ticks
    profile: str = ""
    colour: str = ""
    mesh: str = ""
    width: Ticks = Ticks(0)
    both_ends_clean: bool = False
    place: str = ""
    source: str = ""
    label: str = ""

    def __post_init__(self) -> None:
        """Refuse a piece that is neither a stick nor mesh, or has no size."""
        if bool(self.profile) == bool(self.mesh):
            raise RecordError(
                "a leftover is a stick with a profile, or a piece of mesh with its mesh: give one of them"
            )
        if self.length <= 0 or (self.mesh and self.width <= 0):
            raise RecordError("a leftover has a length over 0, and mesh a width over 0")


@dataclass(frozen=True, kw_only=True, slots=True)
class RackPiece:
    """One piece on a tenant's rack; ``id`` stands on its label.

    ``job`` is the job that reserved or used it, or that leaves it over while it
    is only expected. ``origin`` is the job that left a confirmed piece over, and
    ``planned`` the length by which that job listed it. Times are seconds since 1970; age counts from ``created``,
    when its real length was confirmed.
    """

    id: str
    tenant: str
    state: PieceState
    profile: str
    colour: str
    mesh: str
    width: Ticks
    length: Ticks
    both_ends_clean: bool
    place: str
    source: str
    job: str
    created: float
    changed: float
    label: str = ""
    origin: str = ""
    planned: Ticks = Ticks(0)


@dataclass(frozen=True, kw_only=True, slots=True)
class RackRules:
    """What a tenant keeps: the least useful sizes, the greatest age in days (0: no limit), and how many pieces."""

    least_stick: Ticks = inches(12)
    least_mesh_width: Ticks = inches(18)
    least_mesh_length: Ticks = inches(24)
    oldest_days: int = 0
    most_pieces: int = 2_000

    def __post_init__(self) -> None:
        """Refuse rules nobody can keep."""
        if min(self.least_stick, self.least_mesh_width, self.least_mesh_length, self.oldest_days) < 0:
            raise RecordError("sizes and days are 0 or more")
        if self.most_pieces < 1:
            raise RecordError("a rack holds one piece at least")

    def worth_keeping(self, piece: NewPiece | RackPiece) -> bool:
        """Return whether a piece is big enough.

        Examples
        --------
        >>> RackRules().worth_keeping(NewPiece(profile="5/16", length=inches(11, 15, 16)))
        False
        """
        if piece.mesh:
            return piece.width >= self.least_mesh_width and piece.length >= self.least_mesh_length
        return piece.length >= self.least_stick


@dataclass(frozen=True, kw_only=True, slots=True)
class Search:
    """What is looked for; empty or 0 means any. Shortest first, so that the first that fits wastes least.

    ``after`` goes on behind a piece of an earlier page, by its length and id.
    """

    profile: str = ""
    colour: str = ""
    mesh: str = ""
    least_length: Ticks = Ticks(0)
    least_width: Ticks = Ticks(0)
    older_than_days: float = 0.0
    state: PieceState | None = PieceState.FREE
    job: str = ""
    after: tuple[Ticks, str] | None = None
    limit: int = 100
