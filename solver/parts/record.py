"""Records of a part: what is to be cut and from what."""

from __future__ import annotations

from dataclasses import dataclass

from solver.catalogue import Corner, Kit, RollStock, StickStock
from solver.lengths import Ticks, Unit
from solver.plan import Place, RollGroup, StickGroup
from solver.rules import Rules


@dataclass(frozen=True, kw_only=True, slots=True)
class RailRun:
    """Equal rails of one opening at one place: one for each of ``quantity`` screens."""

    opening: str
    place: Place
    length: Ticks
    quantity: int


@dataclass(frozen=True, kw_only=True, slots=True)
class RailPart:
    """All rails of one profile and colour, and the sticks they may be cut from.

    ``kits`` are those with sticks of this profile and colour; the ones on hand
    are opened at will. ``unit`` only decides how lengths are written in messages.
    """

    profile: str
    colour: str
    corner: Corner
    runs: tuple[RailRun, ...]
    sticks: tuple[StickStock, ...]
    rules: Rules
    kits: tuple[Kit, ...] = ()
    unit: Unit = Unit.INCH

    @property
    def name(self) -> str:
        """What the office calls this part."""
        return " ".join(("rails", self.profile, self.colour)).strip()


@dataclass(frozen=True, kw_only=True, slots=True)
class BlankRun:
    """Equal mesh blanks of one opening: one for each of ``quantity`` screens."""

    opening: str
    width: Ticks
    height: Ticks
    quantity: int


@dataclass(frozen=True, kw_only=True, slots=True)
class BlankPart:
    """All blanks of one mesh, and the rolls they may be cut from.

    ``kits`` are those with pieces of this mesh; the ones on hand are opened at
    will. ``unit`` only decides how lengths are written in messages.
    """

    mesh: str
    turns: bool
    runs: tuple[BlankRun, ...]
    rolls: tuple[RollStock, ...]
    rules: Rules
    kits: tuple[Kit, ...] = ()
    unit: Unit = Unit.INCH

    @property
    def name(self) -> str:
        """What the office calls this part."""
        return f"mesh {self.mesh}".strip()


Part = RailPart | BlankPart
Group = StickGroup | RollGroup
