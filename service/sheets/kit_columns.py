"""The columns of the kits and suppliers sheets."""

from __future__ import annotations

from service.sheets.columns import Column, Content, Kind
from service.sheets.stock_columns import SOURCE, bought
from solver.catalogue import Hardware

_LENGTH = Content.STOCK_LENGTH
_COUNT = Content.COUNT

KIT_COUNTS = tuple(hardware for hardware in Hardware if not hardware.by_length)
"""Hardware that a kit holds by count, a column each."""

FITS_THE_PROFILE = (Hardware.CORNER, Hardware.BAR_CLIP)


def count_word(hardware: Hardware) -> str:
    """Return the heading for a number of one kind of hardware.

    Examples
    --------
    >>> count_word(Hardware.CORNER), count_word(Hardware.LATCH)
    ('corners', 'latches')
    """
    return f"{hardware.value}es" if hardware is Hardware.LATCH else f"{hardware.value}s"


KITS = Kind(
    name="kits",
    aliases=("kit", "screen kits", "complete kits"),
    note="Complete kits from a shop: short sticks of one profile with hardware, perhaps mesh, for one price.",
    columns=(
        Column(field="name", word="kit", aliases=("name", "article"), needed=True, example="kit 36 x 48",
               note="Name of the kit on the purchase list."),
        Column(field="profile", word="profile", needed=True, example="5/16", note="As in the profiles sheet."),
        Column(field="colour", word="colour", aliases=("color", "finish"), needed=True, example="white",
               note="As in the openings."),
        Column(field="stick_lengths", word="stick length", content=_LENGTH, repeated=True, needed=True,
               aliases=("stick length 1", "stick length 2", "stick length 3"), example="48",
               note="Length of the sticks in the kit; up to three lengths in columns of their own."),
        Column(field="stick_counts", word="sticks", content=_COUNT, repeated=True, needed=True,
               aliases=("sticks 1", "sticks 2", "sticks 3"), example=4,
               note="How many sticks of that length, in the same order."),
        *(Column(field=hardware.name, word=count_word(hardware), content=_COUNT,
                 example=4 if hardware is Hardware.CORNER else "", note=f"How many in the kit: {hardware.value}.")
          for hardware in KIT_COUNTS),
        Column(field="spline", word="spline", example="0.160 in", note="Name of the spline in the kit, as in packs."),
        Column(field="spline_length", word="spline length", content=_LENGTH, example="16 ft",
               note="Length of the spline in the kit."),
        Column(field="mesh", word="mesh", example="", note="Mesh in the kit, as in the meshes sheet; empty for none."),
        Column(field="mesh_width", word="mesh width", content=_LENGTH, note="Full width of the piece of mesh."),
        Column(field="mesh_length", word="mesh length", content=_LENGTH, note="Length of the piece of mesh."),
        Column(field="mesh_pieces", word="mesh pieces", content=_COUNT, note="How many pieces; empty means 1."),
        *bought("Price of one kit."),
    ),
)  # fmt: skip

SUPPLIERS = Kind(
    name="suppliers",
    aliases=("supplier", "vendors"),
    note="Who sells, and what delivery costs once if anything is bought there.",
    columns=(
        Column(field="name", word="supplier", aliases=("name",), needed=True, example="supplier A",
               note="As in the stock sheets."),
        Column(field="delivery", word="delivery", content=Content.MONEY, aliases=("delivery charge", "freight"),
               example=0, note="Charged once if anything at all is bought there."),
        SOURCE,
    ),
)  # fmt: skip
