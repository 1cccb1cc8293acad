"""Records of a part: what is to be cut and from what.

``among`` is the number of parts in the job, which share the job's limits.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import chain, count, islice

from solver.catalogue import Corner, Hardware, Kit, Pack, RollStock, StickStock, Supplier
from solver.lengths import Ticks, Unit
from solver.plan import ByHand, Place, Proof, RollGroup, Screen, StickGroup
from solver.rules import Rules


def copies_to_cut(quantity: int, pinned: tuple[int, ...]) -> Iterator[int]:
    """Return the numbers of ``quantity`` copies, counted from 1, those pinned left out.

    Examples
    --------
    >>> list(copies_to_cut(3, (2,)))
    [1, 3, 4]
    """
    if not pinned:
        return iter(range(1, quantity + 1))
    cut = frozenset(pinned)
    return islice((copy for copy in count(1) if copy not in cut), quantity)


@dataclass(frozen=True, kw_only=True, slots=True)
class RailRun:
    """Equal rails of one opening at one place: one for each of ``quantity`` screens.

    ``pinned`` are the numbers of the copies whose rail is cut already, beyond these.
    """

    opening: str
    place: Place
    length: Ticks
    quantity: int
    pinned: tuple[int, ...] = ()

    @property
    def copies(self) -> Iterator[int]:
        """The numbers of the copies still to cut, ascending."""
        return copies_to_cut(self.quantity, self.pinned)


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
    among: int = 1

    @property
    def name(self) -> str:
        """What the office calls this part."""
        return " ".join(("rails", self.profile, self.colour)).strip()


@dataclass(frozen=True, kw_only=True, slots=True)
class BlankRun:
    """Equal mesh blanks of one opening: one for each of ``quantity`` screens.

    ``pinned`` are the numbers of the copies whose blank is cut already, beyond these.
    ``facade`` is what must lie one way with it, where its mesh does so.
    """

    opening: str
    width: Ticks
    height: Ticks
    quantity: int
    pinned: tuple[int, ...] = ()
    facade: str = ""

    @property
    def copies(self) -> Iterator[int]:
        """The numbers of the copies still to cut, ascending."""
        return copies_to_cut(self.quantity, self.pinned)


@dataclass(frozen=True, kw_only=True, slots=True)
class BlankPart:
    """All blanks of one mesh, and the rolls they may be cut from.

    ``kits`` are those with pieces of this mesh; the ones on hand are opened at
    will. ``unit`` only decides how lengths are written in messages. Where the mesh
    lies ``one_way`` on each facade, ``ways`` are the facades that are decided, each
    with whether it lies turned.
    """

    mesh: str
    turns: bool
    runs: tuple[BlankRun, ...]
    rolls: tuple[RollStock, ...]
    rules: Rules
    kits: tuple[Kit, ...] = ()
    unit: Unit = Unit.INCH
    among: int = 1
    one_way: bool = False
    ways: tuple[tuple[str, bool], ...] = ()

    @property
    def name(self) -> str:
        """What the office calls this part."""
        return f"mesh {self.mesh}".strip()

    @property
    def either_way(self) -> bool:
        """Whether a blank may lie turned, if only with others."""
        return self.turns or self.one_way

    @property
    def undecided(self) -> tuple[str, ...]:
        """The facades with open blanks whose way is not decided."""
        if not self.one_way:
            return ()
        return tuple(sorted({run.facade for run in self.runs} - {facade for facade, _ in self.ways}))

    def decided(self, ways: Mapping[str, bool]) -> BlankPart:
        """Return the part with these facades decided too."""
        return replace(self, ways=tuple(sorted((dict(self.ways) | dict(ways)).items())))


@dataclass(frozen=True, kw_only=True, slots=True)
class HardwareWant:
    """How much of one kind of hardware a job wants, spares included; ``fits`` as on a pack."""

    hardware: Hardware
    fits: str
    amount: int


@dataclass(frozen=True, kw_only=True, slots=True)
class BasketPart:
    """Rails, blanks and hardware that must be bought in one decision.

    Kits, delivery charges and least numbers tie them together: ``kits`` are
    those on sale with a price, ``suppliers`` those that charge for delivery.
    Everything on sale in a basket has a price. ``rack`` are the kits on hand,
    for their hardware. ``screens`` are those with a rail, blank or hardware in it.
    """

    name: str
    rails: tuple[RailPart, ...]
    blanks: tuple[BlankPart, ...]
    wants: tuple[HardwareWant, ...]
    packs: tuple[Pack, ...]
    kits: tuple[Kit, ...]
    rack: tuple[Kit, ...]
    suppliers: tuple[Supplier, ...]
    screens: tuple[Screen, ...]
    among: int = 1

    @property
    def runs(self) -> tuple[RailRun | BlankRun, ...]:
        """Every run of rails and blanks in the basket."""
        rails = chain.from_iterable(part.runs for part in self.rails)
        return (*rails, *chain.from_iterable(part.runs for part in self.blanks))


@dataclass(frozen=True, kw_only=True, slots=True)
class BasketGroup:
    """The answer to a basket: its groups, the kits to buy, and the suppliers that deliver.

    ``kits`` are (name, how many to buy). The hardware packs follow from these.
    ``by_hand`` is loose stock by hand, ``per_window`` one kit per window; both
    in cents and for the whole basket.
    """

    name: str
    stick_groups: tuple[StickGroup, ...]
    roll_groups: tuple[RollGroup, ...]
    hardware: tuple[Hardware, ...]
    kits: tuple[tuple[str, int], ...]
    suppliers: tuple[str, ...]
    proof: Proof
    by_hand: ByHand
    per_window: ByHand


Part = RailPart | BlankPart | BasketPart
Group = StickGroup | RollGroup | BasketGroup
