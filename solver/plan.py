"""The whole output of a calculation: sizes, cuts, leftovers, purchases, and how good they are."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from solver.catalogue import Hardware
from solver.lengths import Ticks
from solver.limits import Ending
from solver.money import Cents
from solver.pieces import Place as Place


class Kind(Enum):
    """What a notice is about, from mildest to gravest."""

    NOTICE = "notice"
    REVIEW = "review"
    CAUTION = "caution"


@dataclass(frozen=True, kw_only=True, slots=True)
class Notice:
    """Something a person should know; ``topic`` is a short stable word such as ``fall``.

    ``openings`` are labels; empty means the whole job.
    """

    kind: Kind
    topic: str
    message: str
    openings: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class Rail:
    """One rail or cross bar of a screen, by its cut length (long point to long point if mitred)."""

    place: Place
    length: Ticks


@dataclass(frozen=True, kw_only=True, slots=True)
class Need:
    """Hardware one screen needs: a count, or ticks where it is cut to length.

    ``fits`` as on a pack. ``place`` says in words where it goes, or is empty.
    """

    hardware: Hardware
    amount: int
    fits: str = ""
    place: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class Screen:
    """One opening sized: all copies of it are alike.

    ``arithmetic`` is how each size came about, one readable line each.
    """

    opening: str
    quantity: int
    profile: str
    colour: str
    mesh: str
    frame_width: Ticks
    frame_height: Ticks
    rails: tuple[Rail, ...]
    blank_width: Ticks
    blank_height: Ticks
    needs: tuple[Need, ...]
    arithmetic: tuple[str, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class CutRail:
    """A rail as it is cut: copy ``copy`` (from 1) of an opening's screen."""

    opening: str
    copy: int
    place: Place
    length: Ticks


@dataclass(frozen=True, kw_only=True, slots=True)
class CutStick:
    """One stick, its rails in saw order and what is left of it.

    ``offcut`` is what remains in the hand after the last cut, the untrimmed far
    end included; it is ``kept`` when it is long enough to be useful. ``bought`` is
    False for a stick that lies on the rack already. ``stock`` is its name in the
    stock list, or the kit's name where ``from_kit``.
    """

    number: int
    stock: str
    length: Ticks
    rails: tuple[CutRail, ...]
    offcut: Ticks
    kept: bool
    bought: bool = True
    from_kit: bool = False


@dataclass(frozen=True, kw_only=True, slots=True)
class Proof:
    """How good a group is: cost found, bound proven, and why the search stopped.

    ``cost`` and ``bound`` are in ``measure`` units: cents with prices, ticks of
    stick length or square ticks of mesh without. ``bound <= cost`` always.
    Where ``joint`` names a basket, cost and bound are those of the whole basket:
    its groups were decided together and have none of their own.
    """

    measure: str
    cost: int
    bound: int
    ending: Ending
    joint: str = ""

    @property
    def proven(self) -> bool:
        """Whether nothing cheaper can exist."""
        return self.cost == self.bound


@dataclass(frozen=True, kw_only=True, slots=True)
class ByHand:
    """What a careful shop does without a computer, to compare with.

    ``words`` says how; ``cost`` in the group's measure, or None where a shop
    would find no way.
    """

    words: str
    cost: int | None


@dataclass(frozen=True, kw_only=True, slots=True)
class StickGroup:
    """All rails of one profile and colour on their sticks, in cutting order."""

    profile: str
    colour: str
    joint_kerf: Ticks
    sticks: tuple[CutStick, ...]
    proof: Proof
    by_hand: ByHand


@dataclass(frozen=True, kw_only=True, slots=True)
class CutBlank:
    """A mesh blank as it is cut. ``across`` lies across the roll, ``along`` runs with it."""

    opening: str
    copy: int
    across: Ticks
    along: Ticks
    turned: bool


@dataclass(frozen=True, kw_only=True, slots=True)
class Strip:
    """A strip ripped from a crosscut; its blanks follow each other along the roll."""

    width: Ticks
    blanks: tuple[CutBlank, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class Crosscut:
    """One cut across the full roll: ``length`` of the roll, extra per crosscut excluded."""

    number: int
    length: Ticks
    strips: tuple[Strip, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class CutRoll:
    """One roll, its crosscuts in cutting order and the length left on it.

    ``length`` is None for running length; then ``left`` is 0 and ``used`` is what
    is bought before rounding to the selling step. ``stock`` is its name in the
    stock list, or the kit's name where ``from_kit``.
    """

    number: int
    stock: str
    width: Ticks
    length: Ticks | None
    crosscuts: tuple[Crosscut, ...]
    used: Ticks
    left: Ticks
    kept: bool
    bought: bool = True
    from_kit: bool = False


@dataclass(frozen=True, kw_only=True, slots=True)
class MeshLeftover:
    """A piece of mesh worth keeping: a roll end or a wide side strip."""

    stock: str
    roll: int
    crosscut: int | None
    width: Ticks
    length: Ticks


@dataclass(frozen=True, kw_only=True, slots=True)
class RollGroup:
    """All blanks of one mesh on their rolls."""

    mesh: str
    rolls: tuple[CutRoll, ...]
    leftovers: tuple[MeshLeftover, ...]
    proof: Proof
    by_hand: ByHand


@dataclass(frozen=True, kw_only=True, slots=True)
class PurchaseLine:
    """One thing to buy, or to take from the rack (``buy`` 0).

    Amounts are pieces, or ticks where ``by_length``. ``need`` is what the plan
    takes, ``on_hand`` how much of it is there already, ``left`` what remains
    unused of what is bought. ``buy`` counts packs, bundles, sticks, rolls or
    selling steps of ``size``; ``cost`` is None without prices.
    """

    stock: str
    what: str
    size: int
    by_length: bool
    need: int
    on_hand: int
    buy: int
    price: Cents | None
    cost: Cents | None
    left: int
    supplier: str
    why: str


@dataclass(frozen=True, kw_only=True, slots=True)
class KitContent:
    """One content of all kits opened: how much they hold and how much of it the plan uses; the rest is left.

    Amounts are sticks, pieces of mesh, pieces of hardware, or ticks where
    ``by_length``. ``length`` is that of one stick or one piece of mesh,
    ``hardware`` and ``fits`` as on a pack.
    """

    what: str
    there: int
    used: int
    by_length: bool = False
    length: Ticks | None = None
    width: Ticks | None = None
    hardware: Hardware | None = None
    fits: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class KitUse:
    """Kits of one sort that the plan opens, ``buy`` bought and ``on_hand`` from the rack, and what of them is used.

    Kits bought beyond these, in a least number, stay whole: the purchase line says how many.
    """

    kit: str
    profile: str
    colour: str
    buy: int
    on_hand: int
    contents: tuple[KitContent, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class Basket:
    """What was bought in one decision: groups and hardware that kits, minimums or delivery charges tie together.

    ``stick_groups`` are (profile, colour), ``roll_groups`` meshes.
    """

    name: str
    stick_groups: tuple[tuple[str, str], ...]
    roll_groups: tuple[str, ...]
    hardware: tuple[Hardware, ...]
    proof: Proof


@dataclass(frozen=True, kw_only=True, slots=True)
class Alternative:
    """Another way to buy the whole job, for comparison: its cost, or None where it is no way."""

    name: str
    words: str
    cost: Cents | None


@dataclass(frozen=True, kw_only=True, slots=True)
class StillPossible:
    """A screen that what is left over would still make, ``count`` times, and the hardware to buy for them.

    Each line stands for itself: the same leftovers serve every one.
    """

    profile: str
    colour: str
    mesh: str
    frame_width: Ticks
    frame_height: Ticks
    count: int
    largest: bool
    missing: tuple[Need, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class Plan:
    """A complete, checked plan for one problem.

    ``total`` adds up the purchase lines (None without prices); ``bound`` is the
    proven least total, and ``by_hand`` what the by-hand comparison would pay.
    ``still_possible`` is what the leftovers would make.
    """

    name: str
    currency: str
    screens: tuple[Screen, ...]
    stick_groups: tuple[StickGroup, ...]
    roll_groups: tuple[RollGroup, ...]
    purchases: tuple[PurchaseLine, ...]
    total: Cents | None
    bound: Cents | None
    by_hand: Cents | None
    notices: tuple[Notice, ...]
    assumed: tuple[str, ...]
    kits: tuple[KitUse, ...] = ()
    baskets: tuple[Basket, ...] = ()
    alternatives: tuple[Alternative, ...] = ()
    still_possible: tuple[StillPossible, ...] = ()
