"""The shape of ``plan.json``: what other programs may rely on. Its JSON Schema is published from here."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field
from pydantic.dataclasses import dataclass

_CONFIG = ConfigDict(extra="forbid", use_attribute_docstrings=True)

Money = Annotated[str, Field(pattern=r"^-?\d+\.\d\d$")]
"""An amount of money as a decimal string with two decimals."""


@dataclass(frozen=True, kw_only=True, slots=True, config=_CONFIG)
class Length:
    """A length twice: exact in millimetres, and as a tape reading in inches."""

    mm: float
    """Millimetres; the number as written is the exact decimal (the finest step is 0.003125)."""
    tape: str
    """Inches as read on a tape; behind ``~`` where it is no exact 64th."""


@dataclass(frozen=True, kw_only=True, slots=True, config=_CONFIG)
class Measured:
    """An amount of what a group's plan is measured in."""

    measure: Literal["money", "stick length", "mesh area"]
    amount: str
    """Exact decimal: money units, millimetres of stick, or square metres of mesh."""
    text: str


@dataclass(frozen=True, kw_only=True, slots=True, config=_CONFIG)
class Certainty:
    """How sure a group's plan is: what it costs, the least anything could cost, and why the search ended."""

    proven: bool
    """True: no better plan exists."""
    above_best_percent: str | None
    """At most so many percent above the best possible, rounded up; null if nothing is known."""
    cost: Measured
    bound: Measured
    ending: str
    joint: str
    """Name of the basket whose cost and bound these are, where the group was bought in one decision with others."""
    words: str


@dataclass(frozen=True, kw_only=True, slots=True, config=_CONFIG)
class ByHandPlan:
    """What a careful shop would do without a computer."""

    words: str
    cost: Measured | None


@dataclass(frozen=True, kw_only=True, slots=True, config=_CONFIG)
class RailCut:
    """One rail as it is cut."""

    piece: str
    """Name of the piece, the same on every document."""
    code: str
    """Short code of the piece as on its label: number of the opening in ``screens``, copy, letter of the place."""
    opening: str
    copy: int
    place: str
    length: Length
    starts_at: Length
    """From the stick's starting end to the rail's first end."""


@dataclass(frozen=True, kw_only=True, slots=True, config=_CONFIG)
class StickCuts:
    """One stick: first the start trim is cut off, then the rails in this order."""

    number: int
    stock: str
    length: Length
    start_trim: Length
    rails: tuple[RailCut, ...]
    offcut: Length
    kept: bool
    bought: bool
    """False: it lies on the rack already."""
    from_kit: bool
    """True: ``stock`` is the name of the kit it comes from."""


@dataclass(frozen=True, kw_only=True, slots=True, config=_CONFIG)
class StickCutGroup:
    """All rails of one profile and colour."""

    profile: str
    colour: str
    joint_kerf: Length
    certainty: Certainty
    by_hand: ByHandPlan
    sticks: tuple[StickCuts, ...]


@dataclass(frozen=True, kw_only=True, slots=True, config=_CONFIG)
class BlankCut:
    """One mesh blank as it is cut: ``across`` the roll, ``along`` it."""

    piece: str
    code: str
    opening: str
    copy: int
    across: Length
    along: Length
    turned: bool
    """True: the screen's height lies across the roll."""


@dataclass(frozen=True, kw_only=True, slots=True, config=_CONFIG)
class StripCuts:
    """A strip ripped from a crosscut; its blanks are trimmed from it in this order."""

    width: Length
    starts_at: Length
    """Across the roll, from the selvage edge."""
    blanks: tuple[BlankCut, ...]


@dataclass(frozen=True, kw_only=True, slots=True, config=_CONFIG)
class CrosscutCuts:
    """One cut across the full roll, then ripped into strips in this order."""

    number: int
    starts_at: Length
    """Along the roll, from its free end."""
    length: Length
    strips: tuple[StripCuts, ...]


@dataclass(frozen=True, kw_only=True, slots=True, config=_CONFIG)
class RollCuts:
    """One roll and its crosscuts in cutting order; ``length`` is null for running length."""

    number: int
    stock: str
    width: Length
    length: Length | None
    used: Length
    left: Length
    kept: bool
    bought: bool
    """False: it lies on the rack already."""
    from_kit: bool
    """True: ``stock`` is the name of the kit it comes from."""
    crosscuts: tuple[CrosscutCuts, ...]


@dataclass(frozen=True, kw_only=True, slots=True, config=_CONFIG)
class RollCutGroup:
    """All blanks of one mesh."""

    mesh: str
    crosscut_extra: Length
    certainty: Certainty
    by_hand: ByHandPlan
    rolls: tuple[RollCuts, ...]


@dataclass(frozen=True, kw_only=True, slots=True, config=_CONFIG)
class Amount:
    """How much of something: a count of pieces, or a length where it is cut to length."""

    count: int | None
    length: Length | None
    text: str


@dataclass(frozen=True, kw_only=True, slots=True, config=_CONFIG)
class Purchase:
    """One thing to buy, or to take from the rack (``buy`` 0)."""

    stock: str
    what: str
    buy: int
    """How many of ``size``."""
    buy_text: str
    size: Amount
    """What one bought unit holds."""
    need: Amount
    on_hand: Amount
    left: Amount
    """What remains unused of what is bought."""
    price: Money | None
    cost: Money | None
    supplier: str
    why: str


@dataclass(frozen=True, kw_only=True, slots=True, config=_CONFIG)
class RailSize:
    """One rail or cross bar of a screen, by its cut length."""

    place: str
    length: Length


@dataclass(frozen=True, kw_only=True, slots=True, config=_CONFIG)
class HardwareNeed:
    """Hardware one screen needs."""

    hardware: str
    fits: str
    place: str
    amount: Amount


@dataclass(frozen=True, kw_only=True, slots=True, config=_CONFIG)
class ScreenSizes:
    """One opening sized; its ``quantity`` screens are alike."""

    opening: str
    quantity: int
    order: str
    phase: str
    building: str
    floor: str
    unit: str
    room: str
    note: str
    width_readings: tuple[Length, ...]
    height_readings: tuple[Length, ...]
    profile: str
    colour: str
    mesh: str
    frame_width: Length
    frame_height: Length
    rails: tuple[RailSize, ...]
    blank_width: Length
    blank_height: Length
    hardware: tuple[HardwareNeed, ...]
    arithmetic: tuple[str, ...]
    """How each size came about, one line each."""


@dataclass(frozen=True, kw_only=True, slots=True, config=_CONFIG)
class StickOffcut:
    """Equal stick offcuts worth keeping, with the numbers of the sticks they come from."""

    profile: str
    colour: str
    length: Length
    count: int
    sticks: tuple[int, ...]
    codes: tuple[str, ...]
    """Short code of each offcut as on its label, in step with ``sticks``."""


@dataclass(frozen=True, kw_only=True, slots=True, config=_CONFIG)
class MeshPiece:
    """A piece of mesh worth keeping; ``crosscut`` is null for a roll's end."""

    mesh: str
    stock: str
    roll: int
    crosscut: int | None
    code: str
    """Short code as on its label."""
    width: Length
    length: Length


@dataclass(frozen=True, kw_only=True, slots=True, config=_CONFIG)
class Leftovers:
    """Everything worth putting back on the rack."""

    sticks: tuple[StickOffcut, ...]
    mesh: tuple[MeshPiece, ...]


@dataclass(frozen=True, kw_only=True, slots=True, config=_CONFIG)
class KitContents:
    """One content of all kits opened; what is not used is left."""

    what: str
    there: Amount
    used: Amount
    length: Length | None
    width: Length | None


@dataclass(frozen=True, kw_only=True, slots=True, config=_CONFIG)
class OpenedKits:
    """Kits of one sort that the plan opens."""

    kit: str
    profile: str
    colour: str
    buy: int
    on_hand: int
    contents: tuple[KitContents, ...]


@dataclass(frozen=True, kw_only=True, slots=True, config=_CONFIG)
class BuyingBasket:
    """What was bought in one decision, and how sure that is."""

    name: str
    stick_groups: tuple[str, ...]
    roll_groups: tuple[str, ...]
    hardware: tuple[str, ...]
    certainty: Certainty


@dataclass(frozen=True, kw_only=True, slots=True, config=_CONFIG)
class OtherWay:
    """Another way to buy the whole job; ``cost`` is null where it is no way."""

    name: str
    words: str
    cost: Money | None


@dataclass(frozen=True, kw_only=True, slots=True, config=_CONFIG)
class ScreenFromLeftovers:
    """A screen that the leftovers would still make; each stands for itself."""

    profile: str
    colour: str
    mesh: str
    frame_width: Length
    frame_height: Length
    count: int
    largest: bool
    hardware_to_buy: tuple[HardwareNeed, ...]


@dataclass(frozen=True, kw_only=True, slots=True, config=_CONFIG)
class PlanNotice:
    """Something a person should know; no openings means the whole job."""

    kind: Literal["notice", "review", "caution"]
    topic: str
    message: str
    openings: tuple[str, ...]


@dataclass(frozen=True, kw_only=True, slots=True, config=_CONFIG)
class ParkedRow:
    """A row set aside to be measured again; nothing of it is planned."""

    label: str
    quantity: int
    building: str
    floor: str
    unit: str
    room: str
    order: str
    phase: str
    read: str
    """What stands in its size cells, as written."""
    source: str
    """The sheet row, such as ``openings!7``."""
    reasons: tuple[str, ...]


@dataclass(frozen=True, kw_only=True, slots=True, config=_CONFIG)
class PinnedPiece:
    """A piece that was cut before and stays: a rail with its length, or a mesh blank with width and height."""

    piece: str
    code: str
    opening: str
    copy: int
    place: str
    length: Length | None
    width: Length | None
    height: Length | None


@dataclass(frozen=True, kw_only=True, slots=True, config=_CONFIG)
class EffectiveRule:
    """One shop rule as it held in this plan; ``openings`` names those it held for, none means all others."""

    name: str
    what: str
    length: Length | None
    number: int | None
    text: str
    openings: tuple[str, ...]


@dataclass(frozen=True, kw_only=True, slots=True, config=_CONFIG)
class TotalMoney:
    """The whole purchase: what it costs, the least anything could cost, and what doing it by hand would cost."""

    total: Money | None
    bound: Money | None
    by_hand: Money | None
    proven: bool
    """True: no cheaper purchase exists."""
    above_best_percent: str | None


class PlanDocument(BaseModel):
    """A checked cut plan with its purchase list."""

    model_config = ConfigDict(extra="forbid", frozen=True, use_attribute_docstrings=True)

    format: Literal["screenbatch plan, version 1"] = "screenbatch plan, version 1"
    job: str
    length_unit: Literal["in", "mm"]
    """The unit of the texts; every length is given in both units."""
    currency: str
    money: TotalMoney
    alternatives: tuple[OtherWay, ...]
    purchases: tuple[Purchase, ...]
    kits: tuple[OpenedKits, ...]
    baskets: tuple[BuyingBasket, ...]
    stick_groups: tuple[StickCutGroup, ...]
    roll_groups: tuple[RollCutGroup, ...]
    pinned: tuple[PinnedPiece, ...]
    """What was cut before; the groups cut only the others."""
    leftovers: Leftovers
    still_possible: tuple[ScreenFromLeftovers, ...]
    screens: tuple[ScreenSizes, ...]
    notices: tuple[PlanNotice, ...]
    parked: tuple[ParkedRow, ...]
    """Rows to measure again, as one walks."""
    assumed: tuple[str, ...]
    """What the job did not say and defaults stand in for."""
    rules: tuple[EffectiveRule, ...]
