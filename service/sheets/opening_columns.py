"""The columns of the openings sheet and how people head them."""

from __future__ import annotations

from service.sheets.columns import Column, Content, Kind, rule_columns
from service.sheets.word_cells import ChoiceCells
from solver.openings import Datum, Mounting, Side
from solver.rules import RuleScope

DATUMS = ChoiceCells.of(
    Datum,
    {
        "channel bottom": Datum.CHANNEL_BOTTOMS, "bottoms": Datum.CHANNEL_BOTTOMS, "channel": Datum.CHANNEL_BOTTOMS,
        "bottom to bottom": Datum.CHANNEL_BOTTOMS, "channel bottom to channel bottom": Datum.CHANNEL_BOTTOMS,
        "full pocket": Datum.CHANNEL_BOTTOMS, "pocket": Datum.CHANNEL_BOTTOMS,
        "lips": Datum.CHANNEL_LIPS, "lip to lip": Datum.CHANNEL_LIPS, "between lips": Datum.CHANNEL_LIPS,
        "clear between lips": Datum.CHANNEL_LIPS, "channel lip": Datum.CHANNEL_LIPS,
        "deep": Datum.DEEP_CHANNEL, "lift in": Datum.DEEP_CHANNEL, "deep channel to lip": Datum.DEEP_CHANNEL,
        "face mounted": Datum.FACE, "outside": Datum.FACE, "face mount": Datum.FACE, "clear opening": Datum.FACE,
        "stop": Datum.STOPS, "stop to stop": Datum.STOPS, "inside": Datum.STOPS, "between stops": Datum.STOPS,
        "old": Datum.OLD_SCREEN, "existing screen": Datum.OLD_SCREEN, "existing": Datum.OLD_SCREEN,
        "tip to tip": Datum.OLD_SCREEN, "screen": Datum.OLD_SCREEN, "old screen tip to tip": Datum.OLD_SCREEN,
        "finished": Datum.FINISHED, "frame size": Datum.FINISHED, "final size": Datum.FINISHED,
        "deducted": Datum.FINISHED, "already deducted": Datum.FINISHED, "frame": Datum.FINISHED,
    },
)  # fmt: skip
MOUNTINGS = ChoiceCells.of(
    Mounting,
    {
        "springs": Mounting.SPRINGS, "spring": Mounting.SPRINGS, "tension spring": Mounting.SPRINGS,
        "lift in": Mounting.SPRINGS, "wire springs": Mounting.SPRINGS,
        "leaf": Mounting.LEAVES, "leaf spring": Mounting.LEAVES, "leaves": Mounting.LEAVES,
        "pins": Mounting.PINS, "plungers": Mounting.PINS, "plunger": Mounting.PINS, "plunger pin": Mounting.PINS,
        "clips": Mounting.CLIPS, "face clip": Mounting.CLIPS, "turn buttons": Mounting.CLIPS, "clip": Mounting.CLIPS,
        "turn button": Mounting.CLIPS, "slider": Mounting.SLIDING, "rollers": Mounting.SLIDING,
        "magnet": Mounting.MAGNETS, "magnets": Mounting.MAGNETS, "magnetic": Mounting.MAGNETS,
        "magnetic strips": Mounting.MAGNETS,
    },
)  # fmt: skip
SIDES = ChoiceCells.of(
    Side, {"l": Side.LEFT, "r": Side.RIGHT, "head": Side.TOP, "up": Side.TOP, "sill": Side.BOTTOM, "down": Side.BOTTOM}
)

_OPENING = Content.OPENING_LENGTH
_SMALL = Content.SMALL_LENGTH

_PLACES = (
    Column(field="building", word="building", aliases=("bldg", "bld", "block", "house", "tower"), example="A",
           note="Building or block, if there is more than one."),
    Column(field="floor", word="floor", aliases=("level", "storey", "story", "flr", "fl"), example="3",
           note="Floor or storey."),
    Column(field="unit", word="unit", aliases=("apt", "apartment", "flat", "door", "suite", "apt no", "unit no",
                                               "unit number", "apartment no", "apartment number", "flat no"),
           example="301", note="Apartment or unit. Leading zeros are kept."),
    Column(field="unit_of_measure", word="unit of measure", aliases=("uom", "units", "measurement unit", "in or mm"),
           note="Unit of the sizes in this row, where rows differ: in, mm, cm, m or ft."),
    Column(field="room", word="room", aliases=("rm", "location", "place", "area"), example="kitchen",
           note="Room or place within the unit."),
)  # fmt: skip

OPENINGS = Kind(
    name="openings",
    aliases=("windows", "opening", "survey", "measurements", "schedule", "screens", "window schedule", "take off"),
    note="One row an opening, or one row a type of opening with a quantity.",
    columns=(
        Column(field="label", word="label", example="A-3-301-K1",
               aliases=("mark", "id", "tag", "opening", "window", "window id", "opening id", "name", "no", "number",
                        "ref", "reference", "#", "nr", "window no", "window number", "item", "line", "window mark",
                        "code", "label no", "opening no", "screen", "screen no", "win", "wdw"),
               note="A name of its own for every opening; it goes on the labels."),
        *_PLACES,
        Column(field="window_type", word="window type", aliases=("type", "window style", "style", "model", "type no"),
               example="A", note="Kind of window. Openings of one type check each other."),
        Column(field="quantity", word="quantity", content=Content.COUNT, example=1,
               aliases=("qty", "count", "pcs", "pieces", "no of", "number of", "how many", "quant", "qnty", "q", "ea",
                        "each", "amount", "no off", "number of screens", "number of windows", "no of windows", "stk"),
               note="How many alike; empty means 1."),
        Column(field="widths", word="width", content=_OPENING, repeated=True, needed=True, example="27 5/8",
               aliases=("w", "opening width", "width 1", "width 2", "width 3", "w1", "w2", "w3", "w 1", "w 2", "w 3",
                        "width a", "width b", "width c", "width top", "width middle", "width mid", "width bottom",
                        "top width", "middle width", "mid width", "bottom width", "w top", "w mid", "w middle",
                        "w bottom", "w bot", "width bot", "window width", "clear width", "wide", "width reading",
                        "measured width", "breite", "width in inches", "width sill", "width head", "b"),
               note="Width of the opening. Up to three readings (top, middle, bottom) in columns of their own; "
                    "the one that counts is chosen by what was measured. 27 5/8, 27.625, 2' 3 5/8\" or 702 mm."),
        Column(field="heights", word="height", content=_OPENING, repeated=True, needed=True, example="41 1/2",
               aliases=("h", "opening height", "height 1", "height 2", "height 3", "h1", "h2", "h3", "h 1", "h 2",
                        "h 3", "height a", "height b", "height c", "height left", "height middle", "height mid",
                        "height right", "left height", "middle height", "mid height", "right height", "h left",
                        "h mid", "h middle", "h right", "window height", "clear height", "ht", "hgt", "high", "tall",
                        "height reading", "measured height", "höhe", "height in inches"),
               note="Height of the opening, written like the width. Up to three readings (left, middle, right)."),
        Column(field="size", word="size", content=_OPENING,
               aliases=("dimensions", "dimension", "dims", "opening size", "window size", "screen size", "measurement",
                        "measurements", "sizes", "size of opening"),
               note="Width and height in one cell, such as 27 5/8 x 41 1/2; head it 'size (width x height)'."),
        Column(field="diagonals", word="diagonal", content=_OPENING, repeated=True, example="",
               aliases=("diagonal 1", "diagonal 2", "d1", "d2", "diag", "diag 1", "diag 2", "diagonal a", "diagonal b",
                        "d 1", "d 2"),
               note="The two diagonals, if they were measured; they show whether the opening is square."),
        Column(field="datums", word="measured between", content=Content.CHOICE, choice=DATUMS,
               offered=DATUMS.offered, example="channel bottoms",
               aliases=("datum", "measured", "measured from", "measure type", "measured between what", "measuring"),
               note="What the tape was held between, for width and height alike; it decides the deduction. "
                    "Empty means from channel bottom to channel bottom."),
        Column(field="width_datum", word="width measured between", content=Content.CHOICE, choice=DATUMS,
               offered=DATUMS.offered, aliases=("width datum", "datum width", "w datum"),
               note="Only where the width was measured between something else than the height."),
        Column(field="height_datum", word="height measured between", content=Content.CHOICE, choice=DATUMS,
               offered=DATUMS.offered, aliases=("height datum", "datum height", "h datum"),
               note="Only where the height was measured between something else than the width."),
        Column(field="mounting", word="mounting", content=Content.CHOICE, choice=MOUNTINGS,
               offered=MOUNTINGS.offered, example="tension springs",
               aliases=("mount", "fixing", "mounting style", "held by", "fastening"),
               note="How the screen is held. Empty means tension springs."),
        Column(field="slot_width", word="slot width", content=_SMALL, example="3/8",
               aliases=("slot", "channel slot", "channel width", "channel slot width", "track width", "channel",
                        "groove width of channel", "track"),
               note="Width of the channel the screen goes into; the profile is chosen from it."),
        Column(field="channel_depth", word="channel depth", content=_SMALL, example="1/2",
               aliases=("depth", "slot depth", "deep channel depth", "track depth", "pocket depth"),
               note="Depth of the deepest channel."),
        Column(field="deepest_side", word="deepest side", content=Content.CHOICE, choice=SIDES, offered=SIDES.offered,
               aliases=("deep side", "spring side", "deepest channel", "deepest channel side"), example="top",
               note="Side with the deepest channel, seen from inside the room; springs go there. Empty means top."),
        Column(field="profile", word="profile", aliases=("frame", "frame profile", "frame size", "profile name",
                                                         "frame type"), example="choose",
               note="Name of a profile, or 'choose' to choose it from the slot width."),
        Column(field="colour", word="colour", aliases=("color", "finish", "frame colour", "frame color", "col"),
               example="white", note="Colour of the frame, as in the stick list."),
        Column(field="mesh", word="mesh", aliases=("cloth", "screen cloth", "fabric", "mesh type", "screening"),
               example="glass 18x16", note="Mesh, as in the mesh list."),
        Column(field="order", word="order", aliases=("order no", "order number", "order id", "po", "job", "kit",
                                                     "sales order", "customer order", "order ref"),
               note="Order the screen belongs to; labels, lists and kits are sorted by it."),
        Column(field="phase", word="phase", aliases=("stage", "batch", "delivery", "phase no"),
               note="Phase of the job, if it is delivered in several."),
        Column(field="escape", word="escape opening", content=Content.YES_NO, offered=("yes", "no"), example="no",
               aliases=("escape", "egress", "emergency escape", "escape window", "egress window", "rescue opening"),
               note="yes where the opening serves as an emergency escape; the plan then says what to check."),
        Column(field="sill_height", word="sill height", content=_SMALL, example="36",
               aliases=("sill", "sill above floor", "height of sill"),
               note="Height of the sill above the floor inside, for the cautions on falls and escape."),
        Column(field="drop_outside", word="drop outside", content=_SMALL, example="",
               aliases=("drop", "height above ground", "above grade", "fall height", "height above grade"),
               note="Height of the sill above the ground outside, for the caution on falls."),
        Column(field="built_year", word="built in year", content=Content.YEAR, example="",
               aliases=("year built", "built", "year", "building year", "built year", "construction year"),
               note="Year the building was built, for the caution on lead paint."),
        Column(field="note", word="note", aliases=("notes", "remark", "remarks", "comment", "comments", "memo"),
               note="Anything worth knowing; it is printed on the cut plan."),
        *rule_columns(wanted=lambda scope: scope is RuleScope.OPENING),
    ),
)  # fmt: skip
