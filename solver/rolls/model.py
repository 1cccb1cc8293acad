"""The roll-nesting problem as numbers alone, and its answer.

A roll is cut across its full width (crosscut), the crosscut is ripped into
strips along the roll, and a strip is trimmed to its blanks: two stages when a
strip holds one blank, three when blanks follow each other in a strip.
"""

from __future__ import annotations

from dataclasses import dataclass

from solver.errors import RecordError
from solver.limits import Ending


@dataclass(frozen=True, kw_only=True, slots=True)
class Blank:
    """``count`` equal blanks: ``across`` the roll, ``along`` it; the two may swap if ``turns``."""

    across: int
    along: int
    count: int
    turns: bool = False

    def __post_init__(self) -> None:
        """Refuse a blank that cannot exist."""
        if min(self.across, self.along, self.count) <= 0:
            raise RecordError(f"{self}: sizes and count must be over 0")


@dataclass(frozen=True, kw_only=True, slots=True)
class RollWidth:
    """One roll on offer. ``width`` is usable (selvage already off).

    Whole rolls: ``length`` set, ``cost`` each. Running length: ``length`` None,
    ``cost`` for each started ``step`` of the total length cut at this width.
    ``limit`` caps how many rolls exist (None: no cap).
    """

    width: int
    length: int | None
    cost: int
    step: int = 1
    limit: int | None = None

    def __post_init__(self) -> None:
        """Refuse a roll that cannot exist."""
        if self.width <= 0 or (self.length is not None and self.length <= 0) or self.step <= 0 or self.cost < 0:
            raise RecordError(f"{self}: sizes must be over 0, the cost 0 or more")


@dataclass(frozen=True, kw_only=True, slots=True)
class RollNesting:
    """Blanks to be cut from rolls at least cost.

    ``crosscut_extra`` of roll length is lost at every crosscut;
    ``longest_crosscut`` 0 means no limit; ``stages`` is 2 or 3. A roll end or a
    side strip of at least ``useful_width`` by ``useful_length`` is of use again:
    it never costs money, but decides between plans of one cost.
    """

    blanks: tuple[Blank, ...]
    rolls: tuple[RollWidth, ...]
    crosscut_extra: int = 0
    longest_crosscut: int = 0
    stages: int = 2
    useful_width: int = 0
    useful_length: int = 0

    def __post_init__(self) -> None:
        """Refuse a problem that is not in the stated shape."""
        if not self.blanks or not self.rolls or self.stages not in (2, 3):
            raise RecordError("blanks and rolls are needed, and 2 or 3 stages")


@dataclass(frozen=True, kw_only=True, slots=True)
class NestedStrip:
    """A strip ``width`` wide; ``blanks`` = (blank number, turned, how many) along it."""

    width: int
    blanks: tuple[tuple[int, bool, int], ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class NestedCrosscut:
    """``copies`` equal crosscuts of ``length`` (extra excluded)."""

    length: int
    strips: tuple[NestedStrip, ...]
    copies: int


@dataclass(frozen=True, kw_only=True, slots=True)
class NestedRoll:
    """``copies`` equal rolls of offer number ``roll``; running length is one roll a width."""

    roll: int
    crosscuts: tuple[NestedCrosscut, ...]
    copies: int


@dataclass(frozen=True, kw_only=True, slots=True)
class NestingPlan:
    """Rolls that hold every blank exactly once, their cost, and the exact lower bound on any cost."""

    rolls: tuple[NestedRoll, ...]
    cost: int
    bound: int
    ending: Ending
    work: int = 0
