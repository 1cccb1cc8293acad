"""The columns of the stock sheets: profiles, sticks, meshes, rolls, packs, splines, leftovers."""

from __future__ import annotations

from service.sheets.columns import Column, Content, Kind
from service.sheets.word_cells import ChoiceCells
from solver.catalogue import Corner, Hardware
from solver.rules import Turning

CORNERS = ChoiceCells.of(
    Corner, {"square": Corner.SQUARE, "mitre": Corner.MITRED, "miter": Corner.MITRED, "mitered": Corner.MITRED}
)
TURNINGS = ChoiceCells.of(
    Turning,
    {
        "yes": Turning.FREE,
        "free": Turning.FREE,
        "turn": Turning.FREE,
        "no": Turning.NEVER,
        "never": Turning.NEVER,
        "facade": Turning.FACADE,
        "by facade": Turning.FACADE,
        "one way": Turning.FACADE,
    },
)
HARDWARE = ChoiceCells.of(
    Hardware,
    {f"{hardware.value}s": hardware for hardware in Hardware}
    | {"latches": Hardware.LATCH, "corners": Hardware.CORNER, "spring": Hardware.SPRING, "tab": Hardware.TAB}
    | {"tabs": Hardware.TAB, "pin": Hardware.PIN, "pins": Hardware.PIN, "clip": Hardware.FACE_CLIP},
)

_LENGTH = Content.STOCK_LENGTH
_SMALL = Content.SMALL_LENGTH
_COUNT = Content.COUNT

_NAME = Column(field="name", word="name", aliases=("article", "article no", "sku", "stock name", "description"),
               note="Name on the purchase list; empty makes one up from the other columns.")  # fmt: skip
SOURCE = Column(field="source", word="source", aliases=("note", "notes", "remark"),
                 note="Where the figures come from.")  # fmt: skip


def bought(price_note: str) -> tuple[Column, ...]:
    """Return the columns of everything that is bought."""
    return (
        Column(field="price", word="price", content=Content.MONEY, aliases=("unit price", "cost", "price each"),
               note=price_note),
        Column(field="on_sale", word="on sale", content=Content.YES_NO, offered=("yes", "no"),
               aliases=("can be bought", "available"), note="no if it cannot be bought any more; empty means yes."),
        Column(field="on_hand", word="on hand", content=_COUNT, aliases=("in stock", "stock", "on rack", "have"),
               note="How many lie on the rack already; they are used first and cost nothing."),
        Column(field="limit", word="most to buy", content=_COUNT, aliases=("limit", "max", "at most"),
               note="Most that can be bought; empty means any number."),
        Column(field="minimum", word="least to buy", content=_COUNT, aliases=("minimum", "min", "minimum order"),
               note="Least number sold at all; empty means 1."),
        Column(field="supplier", word="supplier", aliases=("vendor", "from"), note="Who sells it."),
        SOURCE,
    )  # fmt: skip


PROFILES = Kind(
    name="profiles",
    aliases=("profile", "frame profiles"),
    note="Frame profiles: their thickness goes into the channel, their corner decides the rail length.",
    columns=(
        Column(field="name", word="profile", aliases=("name",), needed=True, example="5/16",
               note="Name of the profile, as in the openings and the sticks."),
        Column(field="thickness", word="thickness", content=_SMALL, needed=True, example="5/16",
               note="Thickness that goes into the channel."),
        Column(field="face", word="face", content=_SMALL, aliases=("face width", "visible width"), needed=True,
               example="3/4", note="Width of the face as seen from the room."),
        Column(field="corner", word="corner", content=Content.CHOICE, choice=CORNERS, offered=CORNERS.offered,
               aliases=("corner type", "joint"), example="square cut", note="How two rails meet."),
        Column(field="corner_leg", word="corner leg", content=_SMALL, aliases=("leg", "corner length"),
               example="3/4", note="Length of frame one square-cut corner takes up at each end of a rail."),
        Column(field="review_short", word="review short side", content=_LENGTH, aliases=("largest short side",),
               example="48", note="Above this size the profile wants a second look: shorter side."),
        Column(field="review_long", word="review long side", content=_LENGTH, aliases=("largest long side",),
               example="60", note="Above this size the profile wants a second look: longer side."),
        SOURCE,
    ),
)  # fmt: skip

STICKS = Kind(
    name="sticks",
    aliases=("stick", "stick list", "bars on sale", "stock lengths", "lengths"),
    note="Stick lengths on sale and on the rack, one row for each profile, colour and length.",
    columns=(
        _NAME,
        Column(field="profile", word="profile", needed=True, example="5/16", note="As in the profiles sheet."),
        Column(field="colour", word="colour", aliases=("color", "finish"), needed=True, example="white",
               note="As in the openings."),
        Column(field="length", word="length", content=_LENGTH, aliases=("stick length",), needed=True, example="8 ft",
               note="Real length of the stick. A nominal 8 ft stick may be 94 or 96 in: measure one."),
        Column(field="bundle", word="bundle", content=_COUNT, aliases=("bundle of", "bundle size"),
               note="Number of sticks in a bundle, if bundles are sold too."),
        Column(field="bundle_price", word="bundle price", content=Content.MONEY, note="Price of one bundle."),
        *bought("Price of one stick."),
    ),
)  # fmt: skip

MESHES = Kind(
    name="meshes",
    aliases=("mesh", "cloths", "mesh list"),
    note="Meshes and whether their blanks may be turned on the roll.",
    columns=(
        Column(field="name", word="mesh", aliases=("name",), needed=True, example="glass 18x16",
               note="Name of the mesh, as in the openings and the rolls."),
        Column(field="turning", word="turning", content=Content.CHOICE, choice=TURNINGS, offered=TURNINGS.offered,
               aliases=("turn", "may turn"), example="never turn",
               note="Whether a blank may be cut with its height across the roll. Ribbed solar cloth: never. By "
                    "facade: all blanks on one side of a building lie the same way."),
        Column(field="count_across", word="threads across", content=_COUNT, aliases=("count across",), example=18,
               note="Threads an inch across the roll; only for the open area."),
        Column(field="count_along", word="threads along", content=_COUNT, aliases=("count along",), example=16,
               note="Threads an inch along the roll; only for the open area."),
        Column(field="thread_inches", word="thread diameter", content=Content.THREAD, aliases=("thread", "yarn"),
               example="0.011 in", note="Diameter of the thread; only for the open area."),
        Column(field="heavy", word="heavy", content=Content.YES_NO, offered=("yes", "no"), example="no",
               note="yes for pet and solar cloth: it pulls the frame and takes a thinner spline."),
        SOURCE,
    ),
)  # fmt: skip

ROLLS = Kind(
    name="rolls",
    aliases=("roll", "roll list", "mesh rolls"),
    note="Mesh on sale and on the rack: whole rolls with a length, or running length sold by a step.",
    columns=(
        _NAME,
        Column(field="mesh", word="mesh", needed=True, example="glass 18x16", note="As in the meshes sheet."),
        Column(field="width", word="width", content=_LENGTH, aliases=("roll width",), needed=True, example="48",
               note="Full width of the roll, selvages included."),
        Column(field="length", word="length", content=_LENGTH, aliases=("roll length",), example="100 ft",
               note="Length of a whole roll. Leave empty where mesh is cut from the supplier's roll."),
        Column(field="step", word="selling step", content=_LENGTH, aliases=("sold by", "step"),
               note="Running length is sold in steps of this, such as 1 ft; leave empty for whole rolls."),
        *bought("Price of one roll, or of one selling step."),
    ),
)  # fmt: skip

PACKS = Kind(
    name="packs",
    aliases=("pack", "hardware", "hardware packs"),
    note="Corners, springs, spline and other hardware in the packs they are sold in.",
    columns=(
        _NAME,
        Column(field="hardware", word="hardware", content=Content.CHOICE, choice=HARDWARE, offered=HARDWARE.offered,
               aliases=("kind",), needed=True, example="corner", note="What is in the pack."),
        Column(field="pieces", word="pieces", content=_COUNT, aliases=("pack of", "count", "pieces in a pack"),
               example=25, note="Pieces in one pack; what is cut to length has its length instead."),
        Column(field="length", word="length", content=_LENGTH, aliases=("length in a pack",),
               note="Length in one pack of spline, magnetic strip or bug seal, such as 100 ft."),
        Column(field="fits", word="fits", aliases=("for profile", "for"), example="5/16",
               note="Profile for corners and cross bar clips, the spline's name for spline; empty fits everything."),
        Column(field="on_hand_length", word="on hand length", content=_LENGTH,
               note="Length on the rack already, for what is sold by length."),
        *bought("Price of one pack."),
    ),
)  # fmt: skip

SPLINES = Kind(
    name="splines",
    aliases=("spline",),
    note="Which spline holds which mesh in which profile. Confirm on a trial piece.",
    columns=(
        Column(field="spline", word="spline", needed=True, example="0.160 in", note="Name of the spline, as in packs."),
        Column(field="profile", word="profile", note="Profile it is for; empty means any."),
        Column(field="mesh", word="mesh", note="Mesh it is for; empty means any."),
        SOURCE,
    ),
)  # fmt: skip

LEFTOVERS = Kind(
    name="leftovers",
    aliases=("leftover", "offcuts", "rests"),
    note="What is left from earlier jobs: sticks by profile and colour, mesh by its width. They are used first.",
    columns=(
        Column(field="name", word="name", aliases=("tag", "id", "label", "leftover"), example="rack 4",
               note="What the leftover is called on the rack; empty makes a name up."),
        Column(field="profile", word="profile", example="5/16", note="Profile of a stick; empty for mesh."),
        Column(field="colour", word="colour", aliases=("color",), example="white", note="Colour of a stick."),
        Column(field="mesh", word="mesh", note="Mesh of a piece of mesh; empty for a stick."),
        Column(field="width", word="width", content=_LENGTH, note="Width of a piece of mesh, selvages included."),
        Column(field="length", word="length", content=_LENGTH, needed=True, example="41 3/8", note="Real length."),
        Column(field="on_hand", word="count", content=_COUNT, aliases=("quantity", "qty", "on hand"), example=1,
               note="How many alike; empty means 1."),
        SOURCE,
    ),
)  # fmt: skip

STOCK_KINDS = (PROFILES, STICKS, MESHES, ROLLS, PACKS, SPLINES, LEFTOVERS)
