"""Pieces that lie cut already: where a rail sits on its frame, and what a plan must leave as it is."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from solver.errors import RecordError
from solver.lengths import Ticks


class Place(Enum):
    """Where a rail sits on the frame, seen from inside the room."""

    TOP = "top"
    BOTTOM = "bottom"
    LEFT = "left"
    RIGHT = "right"
    BAR = "cross bar"


@dataclass(frozen=True, kw_only=True, slots=True)
class PinnedRail:
    """A rail that is cut and stays: copy ``copy`` (from 1) of an opening's screen has it."""

    opening: str
    copy: int
    place: Place
    length: Ticks

    def __post_init__(self) -> None:
        """Refuse a rail that cannot exist."""
        if self.copy < 1 or self.length <= 0:
            raise RecordError(f"{self.opening}: copies count from 1, and a rail's length is over 0")


@dataclass(frozen=True, kw_only=True, slots=True)
class PinnedBlank:
    """A mesh blank that is cut and stays, upright as it hangs in the screen; ``turned`` says how it lay on the roll."""

    opening: str
    copy: int
    width: Ticks
    height: Ticks
    turned: bool = False

    def __post_init__(self) -> None:
        """Refuse a blank that cannot exist."""
        if self.copy < 1 or min(self.width, self.height) <= 0:
            raise RecordError(f"{self.opening}: copies count from 1, and a blank's sides are over 0")
