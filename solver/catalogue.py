"""What can be bought and what lies on the rack: profiles, sticks, mesh, rolls, packs."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from fractions import Fraction

from solver.errors import RecordError
from solver.lengths import Ticks
from solver.money import Cents
from solver.rules import Turning


class Corner(Enum):
    """How two rails meet. It belongs to the profile: the saw cut along the stick follows from it."""

    SQUARE = "square cut"
    MITRED = "mitred"


class Hardware(Enum):
    """What a screen needs beside rails and mesh. Lengths for the last three, counts for the others."""

    CORNER = "corner"
    SPRING = "tension spring"
    LEAF = "leaf spring"
    PIN = "plunger pin"
    FACE_CLIP = "face clip"
    ROLLER = "roller"
    LATCH = "latch"
    PULL = "pull"
    TAB = "pull tab"
    BAR_CLIP = "cross bar clip"
    LABEL = "label"
    FALL_LABEL = "fall caution label"
    SPLINE = "spline"
    MAGNET = "magnetic strip"
    BUG_SEAL = "bug seal"

    @property
    def by_length(self) -> bool:
        """Whether it is cut to length rather than counted."""
        return self in {Hardware.SPLINE, Hardware.MAGNET, Hardware.BUG_SEAL}


@dataclass(frozen=True, kw_only=True, slots=True)
class Profile:
    """A frame profile. ``corner_leg`` is the frame length one square-cut corner takes up.

    ``review_short`` x ``review_long`` is the size above which the profile wants a second look.
    """

    name: str
    thickness: Ticks
    face: Ticks
    corner: Corner = Corner.SQUARE
    corner_leg: Ticks = Ticks(0)
    review_short: Ticks | None = None
    review_long: Ticks | None = None
    source: str = ""

    def __post_init__(self) -> None:
        """Refuse a profile without a body."""
        if self.thickness <= 0 or self.face <= 0 or self.corner_leg < 0:
            raise RecordError(f"profile {self.name}: thickness and face must be over 0, corner leg 0 or more")


@dataclass(frozen=True, kw_only=True, slots=True)
class StickStock:
    """One length of one profile and colour: on sale, on hand, or both.

    ``price`` is None when the job works without prices. ``on_hand`` is free of
    charge and limited. ``limit`` caps what can be bought (None: no cap), and
    ``minimum`` is the least number sold at all. ``bundle`` sticks together cost
    ``bundle_price``. A leftover has one clean end; with ``both_ends_clean``, such
    as a rail cut too short, it has two.
    """

    name: str
    profile: str
    colour: str
    length: Ticks
    price: Cents | None = None
    on_sale: bool = True
    on_hand: int = 0
    limit: int | None = None
    bundle: int | None = None
    bundle_price: Cents | None = None
    leftover: bool = False
    supplier: str = ""
    source: str = ""
    minimum: int = 1
    both_ends_clean: bool = False

    def __post_init__(self) -> None:
        """Refuse stock that cannot exist."""
        _stock_sense(self.name, self.length, self.price, self.on_hand, self.limit, self.minimum)
        if (self.bundle is None) != (self.bundle_price is None):
            missing = "bundle" if self.bundle is None else "bundle_price"
            raise RecordError.of(missing, f"{self.name}: a bundle needs both its size and its price")
        if self.bundle is not None and (self.bundle < 2 or self.price is None):
            raise RecordError.of(
                "bundle" if self.bundle < 2 else "price",
                f"{self.name}: a bundle holds 2 sticks or more, beside a price for one",
            )
        if self.bundle_price is not None and self.bundle_price < 0:
            raise RecordError.of("bundle_price", f"{self.name}: a bundle's price cannot be negative")
        if self.leftover and self.on_sale:
            raise RecordError(f"{self.name}: a leftover is on hand, not on sale")
        if self.both_ends_clean and not self.leftover:
            raise RecordError(f"{self.name}: only a leftover has two clean ends")

    @property
    def to_be_had(self) -> bool:
        """Whether there is at least one, to buy or on the rack."""
        return self.on_hand > 0 or (self.on_sale and self.limit != 0)

    def usable_length(self, end_trim: Ticks) -> Ticks:
        """Return the length between the trims; a clean end is not trimmed."""
        ends = 0 if self.both_ends_clean else 1 if self.leftover else 2
        return Ticks(self.length - ends * end_trim)


@dataclass(frozen=True, kw_only=True, slots=True)
class Mesh:
    """A cloth. Counts are threads an inch, ``thread_inches`` the thread's diameter, exact, for the open area."""

    name: str
    turning: Turning = Turning.NEVER
    count_across: int | None = None
    count_along: int | None = None
    thread_inches: Fraction | None = None
    heavy: bool = False
    source: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class RollStock:
    """One width of one mesh: whole rolls (``length`` set), or cut from the supplier's roll by ``step``.

    Either ``length`` is set and ``price`` is for a roll, or ``step`` is set and
    ``price`` is for each started step of running length. ``limit`` counts
    rolls, ``minimum`` rolls or steps; running length has no limit.
    """

    name: str
    mesh: str
    width: Ticks
    length: Ticks | None = None
    step: Ticks | None = None
    price: Cents | None = None
    on_sale: bool = True
    on_hand: int = 0
    limit: int | None = None
    leftover: bool = False
    supplier: str = ""
    source: str = ""
    minimum: int = 1

    def __post_init__(self) -> None:
        """Refuse a roll that cannot exist."""
        size = self.length if self.length is not None else self.step
        if (self.length is None) == (self.step is None) or size is None:
            raise RecordError.of("step", f"{self.name}: a roll has either a length or a selling step")
        _stock_sense(self.name, size, self.price, self.on_hand, self.limit, self.minimum)
        if self.width <= 0:
            raise RecordError(f"{self.name}: the roll's width must be over 0")
        if self.step is not None and self.on_hand:
            raise RecordError.of(
                "on_hand", f"{self.name}: running length is never on hand; give the part roll its length"
            )
        if self.step is not None and self.limit:
            raise RecordError.of(
                "limit", f"{self.name}: running length has no limit; list a part roll with its length instead"
            )
        if self.leftover and self.on_sale:
            raise RecordError(f"{self.name}: a leftover is on hand, not on sale")

    @property
    def to_be_had(self) -> bool:
        """Whether there is at least one, to buy or on the rack."""
        return self.on_hand > 0 or (self.on_sale and self.limit != 0)

    def usable_width(self, selvage_trim: Ticks) -> Ticks:
        """Return the width between the selvages."""
        return Ticks(self.width - 2 * selvage_trim)


@dataclass(frozen=True, kw_only=True, slots=True)
class Pack:
    """A pack of hardware. ``size`` counts pieces, or ticks for what is cut to length.

    ``fits`` is the profile for corners and cross bar clips, the spline's name
    for spline, and empty for what fits everything. ``on_hand`` counts loose
    pieces or ticks, free of charge.
    """

    name: str
    hardware: Hardware
    size: int
    fits: str = ""
    price: Cents | None = None
    on_sale: bool = True
    on_hand: int = 0
    limit: int | None = None
    supplier: str = ""
    source: str = ""
    minimum: int = 1

    def __post_init__(self) -> None:
        """Refuse a pack that cannot exist."""
        _stock_sense(self.name, self.size, self.price, self.on_hand, self.limit, self.minimum)


@dataclass(frozen=True, kw_only=True, slots=True)
class KitSticks:
    """``count`` sticks of one length in a kit."""

    length: Ticks
    count: int


@dataclass(frozen=True, kw_only=True, slots=True)
class KitHardware:
    """Hardware in a kit: ``amount`` and ``fits`` as on a pack."""

    hardware: Hardware
    amount: int
    fits: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class KitMesh:
    """``count`` pieces of mesh in a kit, each with its selvages, like a short roll."""

    mesh: str
    width: Ticks
    length: Ticks
    count: int = 1


@dataclass(frozen=True, kw_only=True, slots=True)
class Kit:
    """A complete retail kit: short sticks of one profile and colour with hardware, perhaps mesh, for one price.

    Its sticks are trimmed like any bought stick. ``on_hand``, ``limit`` and
    ``minimum`` count kits.
    """

    name: str
    profile: str
    colour: str
    sticks: tuple[KitSticks, ...]
    hardware: tuple[KitHardware, ...] = ()
    mesh: KitMesh | None = None
    price: Cents | None = None
    on_sale: bool = True
    on_hand: int = 0
    limit: int | None = None
    supplier: str = ""
    source: str = ""
    minimum: int = 1

    def __post_init__(self) -> None:
        """Refuse a kit that is none."""
        if not self.sticks:
            raise RecordError(f"{self.name}: a kit holds sticks; list hardware sold without them as packs")
        sizes: list[int] = [size for sticks in self.sticks for size in (sticks.length, sticks.count)]
        sizes += [hardware.amount for hardware in self.hardware]
        if self.mesh is not None:
            sizes += [self.mesh.width, self.mesh.length, self.mesh.count]
        if min(sizes) <= 0:
            empty = any(sticks.count <= 0 for sticks in self.sticks)
            field = "stick_counts" if empty else ""
            raise RecordError.of(field, f"{self.name}: everything a kit holds has a size and a number over 0")
        _stock_sense(self.name, 1, self.price, self.on_hand, self.limit, self.minimum)
        contents: list[object] = [sticks.length for sticks in self.sticks]
        contents += [(hardware.hardware, hardware.fits) for hardware in self.hardware]
        if len(set(contents)) < len(contents):
            raise RecordError(f"{self.name}: lists one content twice; add the numbers up")

    @property
    def to_be_had(self) -> bool:
        """Whether there is at least one on the rack, or one to buy whose price is known."""
        return self.on_hand > 0 or (self.on_sale and self.limit != 0 and self.price is not None)


@dataclass(frozen=True, kw_only=True, slots=True)
class Supplier:
    """Who sells: ``delivery`` is charged once if anything at all is bought there."""

    name: str
    delivery: Cents = Cents(0)
    source: str = ""

    def __post_init__(self) -> None:
        """Refuse a supplier without a name, and a negative charge."""
        if not self.name:
            raise RecordError("a supplier needs a name")
        if self.delivery < 0:
            raise RecordError(f"{self.name}: a delivery charge cannot be negative")


@dataclass(frozen=True, kw_only=True, slots=True)
class SplineChoice:
    """Which spline holds which mesh in which profile; an empty name means any."""

    spline: str
    profile: str = ""
    mesh: str = ""
    source: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class Catalogue:
    """Everything on sale and on hand for one job."""

    profiles: tuple[Profile, ...]
    meshes: tuple[Mesh, ...]
    sticks: tuple[StickStock, ...]
    rolls: tuple[RollStock, ...]
    packs: tuple[Pack, ...] = ()
    splines: tuple[SplineChoice, ...] = ()
    kits: tuple[Kit, ...] = ()
    suppliers: tuple[Supplier, ...] = ()

    def __post_init__(self) -> None:
        """Refuse two records of one kind under one name, and a kit named like other stock."""
        kits = [kit.name for kit in self.kits]
        for names in (
            [profile.name for profile in self.profiles],
            [mesh.name for mesh in self.meshes],
            [stick.name for stick in self.sticks] + kits,
            [roll.name for roll in self.rolls] + kits,
            [pack.name for pack in self.packs] + kits,
            [supplier.name for supplier in self.suppliers],
        ):
            if len(set(names)) < len(names):
                twice = sorted({name for name in names if names.count(name) > 1})
                raise RecordError(f"named twice in the stock lists: {', '.join(twice)}")


def _stock_sense(name: str, size: int, price: Cents | None, on_hand: int, limit: int | None, minimum: int = 1) -> None:
    if size <= 0:
        raise RecordError.of("size", f"{name}: its size must be over 0")
    if price is not None and price < 0:
        raise RecordError.of("price", f"{name}: a price cannot be negative")
    if on_hand < 0 or (limit is not None and limit < 0):
        raise RecordError.of("on_hand" if on_hand < 0 else "limit", f"{name}: counts cannot be negative")
    if minimum < 1:
        raise RecordError.of("minimum", f"{name}: the least number sold is 1 or more")
    if limit and limit < minimum:
        raise RecordError.of("minimum", f"{name}: at most {limit} can be bought and no fewer than {minimum} are sold")
