"""What the pages show of a plan, one record for one line, drawing or opening. Lengths in ticks."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from typing import Generic, TypeVar

from solver.lengths import Ticks, Unit

Record = TypeVar("Record")


class GroupKind(Enum):
    """What a group cuts."""

    STICKS = "sticks"
    MESH = "mesh"


@dataclass(frozen=True, kw_only=True, slots=True)
class GroupSummary:
    """One group in words. ``cuts`` counts its sticks or crosscuts, ``drawings`` those that differ from their neighbour.

    ``saved`` compares with ``by_hand`` in words and is empty where there is nothing to compare.
    """

    number: int
    kind: GroupKind
    name: str
    cost: str
    certainty: str
    proven: bool
    by_hand: str
    by_hand_words: str
    saved: str
    cuts: int
    drawings: int


@dataclass(frozen=True, kw_only=True, slots=True)
class PurchaseRow:
    """One line of the purchase list in words, money without its currency; empty where there is nothing to say."""

    buy: str
    what: str
    stock: str
    price: str
    cost: str
    need: str
    on_hand: str
    left: str
    supplier: str
    why: str


@dataclass(frozen=True, kw_only=True, slots=True)
class NoticeRow:
    """A notice in words; ``number`` finds the openings it is about."""

    number: int
    kind: str
    topic: str
    message: str
    openings: str


@dataclass(frozen=True, kw_only=True, slots=True)
class RuleRow:
    """One shop rule as it held; ``openings`` names the rows that set it for themselves."""

    what: str
    text: str
    openings: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Summary:
    """The plan at a glance. ``total`` and ``by_hand_total`` are empty without prices.

    ``saved`` says how much less than by hand, and is empty where it is not less.
    ``parked`` counts the rows left out to be measured again.
    """

    job: str
    unit: Unit
    currency: str
    openings: int
    screens: int
    total: str
    certainty: str
    proven: bool
    by_hand: str
    by_hand_total: str
    saved: str
    groups: tuple[GroupSummary, ...]
    purchases: tuple[PurchaseRow, ...]
    notices: tuple[NoticeRow, ...]
    alternatives: tuple[tuple[str, str], ...]
    assumed: tuple[str, ...]
    rules: tuple[RuleRow, ...]
    offcuts: int
    mesh_pieces: int
    parked: int


@dataclass(frozen=True, kw_only=True, slots=True)
class OpeningRow:
    """An opening in a list."""

    number: int
    label: str
    quantity: int
    where: str
    order: str
    phase: str
    frame_width: Ticks
    frame_height: Ticks
    profile: str
    colour: str
    mesh: str


@dataclass(frozen=True, kw_only=True, slots=True)
class OpeningSizes:
    """An opening's screen in full. ``rails`` are (place, length); ``face`` is the profile's, 0 where not known."""

    row: OpeningRow
    note: str
    width_readings: tuple[Ticks, ...]
    height_readings: tuple[Ticks, ...]
    mounting: str
    deepest_side: str
    escape: bool
    face: Ticks
    mitred: bool
    rails: tuple[tuple[str, Ticks], ...]
    blank_width: Ticks
    blank_height: Ticks
    hardware: tuple[str, ...]
    arithmetic: tuple[str, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class StickRun:
    """Sticks cut at the same marks one after the other, numbered ``first`` to ``first + count - 1``."""

    number: int
    group: int
    first: int
    count: int
    stock: str
    length: Ticks
    start_trim: Ticks
    kerf: Ticks
    rails: tuple[Ticks, ...]
    offcut: Ticks
    kept: bool
    bought: bool
    from_kit: bool

    @property
    def numbers(self) -> str:
        """The stick numbers, such as ``12`` or ``12 to 19``."""
        return _numbers(self.first, self.count)


@dataclass(frozen=True, kw_only=True, slots=True)
class BlankSpot:
    """Where a blank lies on its crosscut: from the selvage edge across, from the first edge along."""

    from_side: Ticks
    from_start: Ticks
    across: Ticks
    along: Ticks
    turned: bool


@dataclass(frozen=True, kw_only=True, slots=True)
class CrosscutRun:
    """Crosscuts of one roll ripped and trimmed alike one after the other.

    ``starts_at`` is where the first one starts on its roll; ``strips`` are (start across the roll, width).
    """

    number: int
    group: int
    roll: int
    first: int
    count: int
    stock: str
    roll_width: Ticks
    starts_at: Ticks
    length: Ticks
    bought: bool
    strips: tuple[tuple[Ticks, Ticks], ...]
    blanks: tuple[BlankSpot, ...]

    @property
    def numbers(self) -> str:
        """The crosscut numbers, such as ``3`` or ``3 to 9``."""
        return _numbers(self.first, self.count)


@dataclass(frozen=True, kw_only=True, slots=True)
class CutPiece:
    """A piece and where it is cut: ``cut`` is the stick's or crosscut's number, ``nth`` counts from 1 within it."""

    label: str
    opening: int
    group: int
    run: int
    roll: int
    cut: int
    nth: int


@dataclass(frozen=True, kw_only=True, slots=True)
class Leftover:
    """Something to put back on the rack; ``width`` is 0 for sticks. ``origin`` says what it was cut from."""

    what: str
    width: Ticks
    length: Ticks
    count: int
    origin: str


@dataclass(frozen=True, kw_only=True, slots=True)
class ParkedRow:
    """A row left out to be measured again: what its size cells say, and why that cannot be used."""

    label: str
    where: str
    order: str
    source: str
    read: str
    reasons: tuple[str, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class Shown(Generic[Record]):
    """One page of a list: ``page`` of ``pages``, out of ``total`` lines."""

    rows: tuple[Record, ...]
    page: int
    pages: int
    total: int


def _numbers(first: int, count: int) -> str:
    return f"{first:,}" if count == 1 else f"{first:,} to {first + count - 1:,}"
