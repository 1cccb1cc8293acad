"""What happens to a job between two plans: cuts made, miscuts, damage, changes and short deliveries.

Sticks and crosscuts are named by their numbers in the plan at hand, rails and
blanks by their opening, copy and place.
"""

from __future__ import annotations

from dataclasses import dataclass

from solver.catalogue import Hardware
from solver.errors import RecordError
from solver.lengths import Ticks
from solver.openings import Opening
from solver.pieces import Place


@dataclass(frozen=True, kw_only=True, slots=True)
class StickCut:
    """A stick is cut as planned, all its rails."""

    profile: str
    colour: str
    number: int


@dataclass(frozen=True, kw_only=True, slots=True)
class RailCut:
    """One rail is cut as planned; its stick may have more to cut. Of equal cross bars the next one is meant."""

    opening: str
    copy: int
    place: Place


@dataclass(frozen=True, kw_only=True, slots=True)
class CrosscutCut:
    """A crosscut is cut as planned, with its strips and blanks."""

    mesh: str
    number: int


@dataclass(frozen=True, kw_only=True, slots=True)
class EverythingCut:
    """Every stick and crosscut of the plan is cut as planned."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Miscut:
    """A rail was cut wrong: ``length`` is what it really measures, over all, with two clean ends."""

    opening: str
    copy: int
    place: Place
    length: Ticks

    def __post_init__(self) -> None:
        """Refuse a piece without length."""
        if self.length <= 0:
            raise RecordError(f"{self.opening}: the miscut's length must be over 0; measure what lies in the hand")


@dataclass(frozen=True, kw_only=True, slots=True)
class SpoiltBlank:
    """A mesh blank was cut and spoilt: what is left of it is ``across`` the roll and ``along`` it, 0 for nothing."""

    opening: str
    copy: int
    across: Ticks = Ticks(0)
    along: Ticks = Ticks(0)


@dataclass(frozen=True, kw_only=True, slots=True)
class DamagedStick:
    """What is not yet cut of a stick is damaged; ``sound`` lengths of it, each with one clean end, are usable."""

    profile: str
    colour: str
    number: int
    sound: tuple[Ticks, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class RollFlaw:
    """A roll has a flaw: ``length`` of it, starting ``starts_at`` from its present free end."""

    mesh: str
    number: int
    starts_at: Ticks
    length: Ticks

    def __post_init__(self) -> None:
        """Refuse a flaw that is nowhere."""
        if self.starts_at < 0 or self.length <= 0:
            raise RecordError(f"roll {self.number}: a flaw starts at 0 or later and has a length over 0")


@dataclass(frozen=True, kw_only=True, slots=True)
class Remeasured:
    """An opening was measured again; readings as in :class:`solver.openings.Opening`."""

    opening: str
    widths: tuple[Ticks, ...]
    heights: tuple[Ticks, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class ChangeOrder:
    """Another quantity, profile, colour or mesh for an opening; what is None stays."""

    opening: str
    quantity: int | None = None
    profile: str | None = None
    colour: str | None = None
    mesh: str | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class Cancelled:
    """An opening is no longer wanted; what is cut of it is spare."""

    opening: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Added:
    """One more opening is wanted."""

    opening: Opening


@dataclass(frozen=True, kw_only=True, slots=True)
class ShortDelivery:
    """``missing`` of what was bought did not come: sticks, rolls, selling steps, packs or kits of one stock.

    With ``gone`` no more can be had.
    """

    stock: str
    missing: int
    gone: bool = False

    def __post_init__(self) -> None:
        """Refuse a delivery that is not short."""
        if self.missing < 0 or (not self.missing and not self.gone):
            raise RecordError(f"{self.stock}: say how many are missing, or that no more can be had")


@dataclass(frozen=True, kw_only=True, slots=True)
class NotThere:
    """Stock that is listed as on hand is not there: ``missing`` sticks, rolls, pieces of hardware, or ticks of spline.

    What was bought for the job and cannot be found any more is said in the same way.
    """

    stock: str
    missing: int = 1

    def __post_init__(self) -> None:
        """Refuse stock of which nothing is missing."""
        if self.missing <= 0:
            raise RecordError(f"{self.stock}: say how many are not there")


@dataclass(frozen=True, kw_only=True, slots=True)
class RailMissing:
    """A rail that was cut is lost: it is cut again, and nothing of it is left."""

    opening: str
    copy: int
    place: Place


@dataclass(frozen=True, kw_only=True, slots=True)
class BlankMissing:
    """A mesh blank that was cut is lost: it is cut again, and nothing of it is left."""

    opening: str
    copy: int


@dataclass(frozen=True, kw_only=True, slots=True)
class HardwareMissing:
    """A bag lacked hardware of one opening: ``amount`` pieces, or ticks of what is cut to length.

    It is sent from what is spare, and bought where nothing is.
    """

    opening: str
    hardware: Hardware
    amount: int

    def __post_init__(self) -> None:
        """Refuse a bag that lacks nothing."""
        if self.amount <= 0:
            raise RecordError(f"{self.opening}: say how many of {self.hardware.value} are missing")


Event = (
    StickCut
    | RailCut
    | CrosscutCut
    | EverythingCut
    | Miscut
    | SpoiltBlank
    | DamagedStick
    | RollFlaw
    | Remeasured
    | ChangeOrder
    | Cancelled
    | Added
    | ShortDelivery
    | NotThere
    | RailMissing
    | BlankMissing
    | HardwareMissing
)
