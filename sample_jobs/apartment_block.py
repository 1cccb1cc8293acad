"""A property manager's job: 120 openings in two buildings, three types of window, small differences everywhere."""

from __future__ import annotations

import random
from collections.abc import Iterator
from fractions import Fraction

from sample_jobs.stock_lists import INVENTED, THIN_SPLINE, USUAL_SPLINE, meshes, packs, profiles, roll, splines, stick
from service.sheets.job_workbook import Entry, JobSheet, JobWorkbook
from service.sheets.opening_columns import OPENINGS
from service.sheets.stock_columns import LEFTOVERS, ROLLS, STICKS

_SEED = 20_260
# Type, room, usual width and height in sixteenths of an inch, slot, mounting, datum, escape opening, sill.
_TYPES = (
    ("K", "kitchen", 27 * 16 + 10, 41 * 16 + 8, "3/8", "tension springs", "channel bottoms", "no", "40"),
    ("L", "living room", 35 * 16 + 4, 55 * 16 + 12, "7/16", "tension springs", "channel bottoms", "no", "22"),
    ("B", "bedroom", 33 * 16 + 2, 47 * 16 + 6, "3/8", "leaf springs", "channel lips", "yes", "34"),
)


def _tape(sixteenths: int) -> str:
    whole, part = divmod(sixteenths, 16)
    fraction = Fraction(part, 16)
    return f"{whole} {fraction.numerator}/{fraction.denominator}" if part else str(whole)


def _openings() -> Iterator[Entry]:
    chance = random.Random(_SEED)
    for building, floors in (("A", 6), ("B", 4)):
        for floor in range(1, floors + 1):
            for stack in range(1, 5):
                unit = f"{floor}0{stack}"
                for kind, room, width, height, slot, mounting, datum, escape, sill in _TYPES:
                    wide, tall = width + chance.randint(-2, 2), height + chance.randint(-2, 2)
                    yield {
                        "label": f"{building}-{floor}-{unit}-{kind}", "building": building, "floor": str(floor),
                        "unit": unit, "room": room, "window type": kind,
                        "width": [_tape(wide), _tape(wide + chance.randint(0, 1))],
                        "height": [_tape(tall), _tape(tall + chance.randint(0, 1))],
                        "measured between": datum, "mounting": mounting, "slot width": slot,
                        "channel depth": "1/2", "deepest side": "top", "profile": "choose",
                        "colour": "bronze" if building == "B" else "white",
                        "mesh": "pet cloth" if kind == "L" and floor == 1 else "glass 18x16",
                        "phase": "1" if building == "A" else "2", "escape opening": escape, "sill height": sill,
                        "drop outside": str(12 + 108 * (floor - 1) + int(sill)), "built in year": 1968,
                    }  # fmt: skip


_STICKS = [
    stick(profile, colour, length, round(price * more, 2), **bundle)
    for profile, more in (("5/16", 1.0), ("3/8", 1.15))
    for colour in ("white", "bronze")
    for length, price, bundle in (
        ("94", 6.4, {}),
        ("144", 9.2, {"bundle": 25, "bundle price": round(9.2 * more * 23, 2)}),
        ("16 ft", 12.6, {}),
    )
]
_ROLLS = [
    roll("glass 18x16", width, "100 ft", price)
    for width, price in (("36", 58.0), ("48", 76.0), ("60", 94.0), ("72", 112.0))
] + [roll("pet cloth", "36", "50 ft", 92.0), roll("pet cloth", "48", "50 ft", 121.0)]
_LEFTOVERS: list[Entry] = [
    {"name": "rack 1", "profile": "5/16", "colour": "white", "length": "88 1/2", "count": 3},
    {"name": "rack 2", "profile": "3/8", "colour": "white", "length": "61 3/4", "count": 2},
    {"name": "rack 3", "mesh": "glass 18x16", "width": "48", "length": "9 ft", "count": 1},
]

APARTMENT_BLOCK = JobWorkbook(
    how_to=(
        "Sample job: an apartment block of 120 openings",
        INVENTED,
        "Plan it with: screenbatch plan apartment_block.xlsx --out plans/apartment_block",
    ),
    job={"job name": "apartment block, re-screening", "unit": "in", "currency": "USD"},
    sheets=(
        JobSheet(kind=OPENINGS, entries=list(_openings())),
        profiles("5/16", "3/8"),
        JobSheet(kind=STICKS, entries=_STICKS, remark=INVENTED),
        meshes("glass 18x16", "pet cloth"),
        JobSheet(kind=ROLLS, entries=_ROLLS, remark=INVENTED),
        packs(["5/16", "3/8"], [USUAL_SPLINE, THIN_SPLINE], retail=False),
        splines("glass 18x16", "pet cloth"),
        JobSheet(kind=LEFTOVERS, entries=_LEFTOVERS, remark=INVENTED),
    ),
)
