"""Records of a revision and of its difference to the one before."""

from __future__ import annotations

from dataclasses import dataclass

from solver.events import Event
from solver.lengths import Ticks
from solver.money import Cents
from solver.plan import Place, Plan, PurchaseLine
from solver.problem import Problem


@dataclass(frozen=True, kw_only=True, slots=True)
class CutChange:
    """A stick or crosscut still to be cut: its number now, and the one it had, None where it is new or changed.

    ``group`` is the profile and colour, or the mesh.
    """

    group: str
    number: int
    was: int | None


@dataclass(frozen=True, kw_only=True, slots=True)
class Reprint:
    """A piece whose label no longer says the truth; ``was`` is the piece it was cut as, or empty.

    ``place`` is None for a mesh blank.
    """

    opening: str
    copy: int
    place: Place | None
    why: str
    was: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class SpareStick:
    """Sticks, offcuts or rails that the rest of the job does not take: ``count`` of ``length``."""

    profile: str
    colour: str
    length: Ticks
    count: int
    stock: str
    leftover: bool


@dataclass(frozen=True, kw_only=True, slots=True)
class SpareMesh:
    """Rolls or pieces of mesh that the rest of the job does not take."""

    mesh: str
    width: Ticks
    length: Ticks
    count: int
    stock: str
    leftover: bool


@dataclass(frozen=True, kw_only=True, slots=True)
class SpareHardware:
    """Hardware on hand beyond what the job needs: pieces, or ticks where cut to length."""

    stock: str
    amount: int
    by_length: bool


@dataclass(frozen=True, kw_only=True, slots=True)
class Difference:
    """What changes from one revision to the next.

    ``to_cut`` lists every stick and crosscut still to be cut, new and changed
    ones first; ``money`` is what is bought beyond what was bought before (None
    without prices). ``reused`` are pieces cut for one opening that serve
    another; they are among ``reprints`` too.
    """

    to_cut: tuple[CutChange, ...]
    buy: tuple[PurchaseLine, ...]
    spare_sticks: tuple[SpareStick, ...]
    spare_mesh: tuple[SpareMesh, ...]
    spare_hardware: tuple[SpareHardware, ...]
    reprints: tuple[Reprint, ...]
    reused: int
    changes: int
    kept: int
    money: Cents | None
    money_anew: Cents | None
    """What a plan of the rest from scratch, free to change everything, would have bought."""
    dropped: tuple[tuple[str, int], ...] = ()
    """Group and old number of every stick and crosscut that was still to be cut and is not cut so any more."""


@dataclass(frozen=True, kw_only=True, slots=True)
class ChainPurchase:
    """What one plan of a chain bought: its purchase lines, and by stock the cost of what did not come.

    Examples
    --------
    Three sticks at 8.00, of which one did not come:

    >>> line = PurchaseLine(stock="8 ft", what="stick 5/16", size=1, by_length=False, need=3, on_hand=0, buy=3,
    ...                     price=Cents(800), cost=Cents(2400), left=0, supplier="", why="")
    >>> bought = ChainPurchase(revision=0, lines=(line,), not_come=(("8 ft", Cents(800)),))
    >>> bought.listed, bought.off, bought.paid
    (2400, 800, 1600)
    """

    revision: int
    lines: tuple[PurchaseLine, ...]
    not_come: tuple[tuple[str, Cents], ...] = ()

    @property
    def listed(self) -> Cents:
        """What the purchase list came to."""
        return Cents(sum(line.cost or 0 for line in self.lines))

    @property
    def off(self) -> Cents:
        """What did not come and so is not paid."""
        return Cents(sum(cost for _, cost in self.not_come))

    @property
    def paid(self) -> Cents:
        """What is paid for."""
        return Cents(self.listed - self.off)


@dataclass(frozen=True, kw_only=True, slots=True)
class Revision:
    """One link of a job's chain: a problem with what is pinned, its checked plan, and how it came about.

    Number 0 is the first plan. ``events`` lead from the revision before to this one.
    ``begun`` names the leftovers of other jobs that are begun by now, ``highest``
    the highest number given so far in every group (see :mod:`solver.revision.numbers`),
    ``struck`` the codes of own leftovers that were handed over and are not counted on any more,
    ``bought_before`` what the plans before this one bought (None where an older file does not say).
    """

    number: int
    problem: Problem
    plan: Plan
    events: tuple[Event, ...] = ()
    difference: Difference | None = None
    begun: tuple[str, ...] = ()
    highest: tuple[tuple[str, int], ...] = ()
    struck: tuple[str, ...] = ()
    bought_before: tuple[ChainPurchase, ...] | None = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class Candidate:
    """A piece that a measured length may be: how far off it is, and whether it is cut already."""

    opening: str
    copy: int
    place: Place
    length: Ticks
    off: Ticks
    profile: str
    colour: str
    pinned: bool
    stick: int | None = None
