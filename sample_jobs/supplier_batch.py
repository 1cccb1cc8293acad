"""A kit supplier's week: 60 orders, 1,500 screens, sticks on the rack and leftovers of earlier weeks."""

from __future__ import annotations

import random
from collections.abc import Iterator
from fractions import Fraction

from sample_jobs.stock_lists import INVENTED, THIN_SPLINE, USUAL_SPLINE, meshes, packs, profiles, roll, splines, stick
from service.sheets.job_workbook import Entry, JobSheet, JobWorkbook
from service.sheets.opening_columns import OPENINGS
from service.sheets.stock_columns import LEFTOVERS, ROLLS, STICKS

_SEED = 60_1500
_ORDERS = 60
_SCREENS = 1_500
_COLOURS = ("white", "bronze", "tan")
_MESHES = ("glass 18x16", "pet cloth", "solar cloth")
_MOUNTINGS = ("tension springs", "leaf springs", "plunger pins")


def _tape(sixteenths: int) -> str:
    whole, part = divmod(sixteenths, 16)
    fraction = Fraction(part, 16)
    return f"{whole} {fraction.numerator}/{fraction.denominator}" if part else str(whole)


def _openings() -> Iterator[Entry]:
    chance = random.Random(_SEED)
    left = _SCREENS
    for number in range(_ORDERS):
        screens = left // (_ORDERS - number) if number == _ORDERS - 1 else min(left, chance.randint(15, 35))
        screens = max(1, min(screens, left - (_ORDERS - number - 1)))
        if number == _ORDERS - 1:
            screens = left
        left -= screens
        yield from _order(f"S-{4101 + number}", screens, chance)


def _order(order: str, screens: int, chance: random.Random) -> Iterator[Entry]:
    """Yield the rows of one order: one colour, mostly one mesh, a few sizes with quantities."""
    colour = chance.choices(_COLOURS, (6, 3, 1))[0]
    mesh = chance.choices(_MESHES, (7, 2, 1))[0]
    mounting = chance.choices(_MOUNTINGS, (6, 3, 1))[0]
    metric = chance.random() < 0.15
    line = 0
    while screens:
        line += 1
        quantity = min(screens, chance.choice((1, 1, 2, 2, 3, 4, 6)))
        screens -= quantity
        wide, tall = chance.randint(18 * 16, 40 * 16), chance.randint(24 * 16, 62 * 16)
        profile = "5/16" if max(wide, tall) <= 54 * 16 else "3/8" if max(wide, tall) <= 60 * 16 else "7/16"
        size = (f"{round(wide * 1.5875)} mm", f"{round(tall * 1.5875)} mm") if metric else (_tape(wide), _tape(tall))
        yield {
            "label": f"{order}-{line}", "order": order, "quantity": quantity, "width": size[0], "height": size[1],
            "measured between": "finished size", "mounting": mounting, "profile": profile, "colour": colour,
            "mesh": mesh, "deepest side": "top",
        }  # fmt: skip


_STICKS = [
    stick(profile, colour, length, round(price * more, 2), **extra)
    for profile, more in (("5/16", 1.0), ("3/8", 1.15), ("7/16", 1.4))
    for colour in _COLOURS
    for length, price, extra in (
        ("144", 8.6, {"on hand": 40 if colour == "white" and profile == "5/16" else 0}),
        ("192", 11.2, {"bundle": 50, "bundle price": round(11.2 * more * 46, 2)}),
    )
]
_ROLLS = [
    roll(mesh, width, length, price)
    for mesh, length, prices in (
        ("glass 18x16", "100 ft", (52.0, 68.0, 84.0, 100.0, 132.0)),
        ("pet cloth", "50 ft", (88.0, 116.0, 144.0, 172.0, 0.0)),
        ("solar cloth", "100 ft", (140.0, 184.0, 228.0, 272.0, 0.0)),
    )
    for width, price in zip(("36", "48", "60", "72", "96"), prices, strict=True)
    if price
]


def _leftovers() -> Iterator[Entry]:
    chance = random.Random(_SEED + 1)
    for number in range(1, 37):
        profile = chance.choice(("5/16", "5/16", "3/8", "7/16"))
        length = _tape(chance.randint(20 * 16, 110 * 16))
        yield {"name": f"rack {number}", "profile": profile, "colour": chance.choice(_COLOURS), "length": length,
               "count": chance.choice((1, 1, 1, 2, 3))}  # fmt: skip
    for number, (mesh, width, length) in enumerate(
        (("glass 18x16", "48", "22 ft"), ("glass 18x16", "60", "14 ft 6"), ("glass 18x16", "36", "31 ft"),
         ("pet cloth", "48", "11 ft"), ("solar cloth", "60", "9 ft")), 1
    ):  # fmt: skip
        yield {"name": f"roll end {number}", "mesh": mesh, "width": width, "length": length, "count": 1}


SUPPLIER_BATCH = JobWorkbook(
    how_to=(
        "Sample job: a supplier's week of 60 orders and 1,500 screens",
        INVENTED,
        "Plan it with: screenbatch plan supplier_batch.xlsx --out plans/supplier_batch",
    ),
    job={"job name": "kit orders, week 14", "unit": "in", "currency": "USD"},
    sheets=(
        JobSheet(kind=OPENINGS, entries=list(_openings())),
        profiles("5/16", "3/8", "7/16"),
        JobSheet(kind=STICKS, entries=_STICKS, remark=INVENTED),
        meshes(*_MESHES),
        JobSheet(kind=ROLLS, entries=_ROLLS, remark=INVENTED),
        packs(["5/16", "3/8", "7/16"], [USUAL_SPLINE, THIN_SPLINE], retail=False),
        splines(*_MESHES),
        JobSheet(kind=LEFTOVERS, entries=list(_leftovers()), remark=INVENTED),
    ),
)
