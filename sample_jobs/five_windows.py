"""Five windows at home, where kits, loose stock and a mill that delivers compete: the mixture is the cheapest."""

from __future__ import annotations

from sample_jobs.stock_lists import INVENTED, USUAL_SPLINE, kit, meshes, packs, profiles, roll, splines, stick
from service.sheets.job_workbook import Entry, JobSheet, JobWorkbook
from service.sheets.kit_columns import KITS, SUPPLIERS
from service.sheets.opening_columns import OPENINGS
from service.sheets.stock_columns import ROLLS, STICKS

_SIZES = (
    ("bath", "22 1/2", "27 3/8"),
    ("bedroom", "31 7/8", "45 1/4"),
    ("guest room", "33 1/8", "44 3/4"),
    ("hall", "27 5/8", "41 1/2"),
    ("study", "35 1/4", "47 1/2"),
)

_WINDOWS: list[Entry] = [
    {"label": label, "room": label, "width": [width], "height": [height], "measured between": "channel bottoms",
     "mounting": "tension springs", "slot width": "3/8", "channel depth": "1/2", "deepest side": "top",
     "profile": "choose", "colour": "white", "mesh": "glass 18x16", "escape opening": "no", "sill height": "36",
     "drop outside": "60"}
    for label, width, height in _SIZES
]  # fmt: skip

FIVE_WINDOWS = JobWorkbook(
    how_to=(
        "Sample job: five windows, kits against loose stock",
        INVENTED,
        "Plan it with: screenbatch plan five_windows.xlsx --out plans/five_windows",
    ),
    job={"job name": "five windows", "unit": "in", "currency": "USD"},
    sheets=(
        JobSheet(kind=OPENINGS, entries=_WINDOWS),
        profiles("5/16"),
        JobSheet(
            kind=STICKS,
            remark=INVENTED,
            entries=[
                stick("5/16", "white", "72", 7.48, **{"on hand": 1}),
                stick("5/16", "white", "94", 8.98),
                stick("5/16", "white", "146", 9.4, supplier="supplier C", **{"least to buy": 5}),
            ],
        ),
        meshes("glass 18x16"),
        JobSheet(
            kind=ROLLS,
            remark=INVENTED,
            entries=[
                roll("glass 18x16", "36", "84", 8.98),
                roll("glass 18x16", "48", "25 ft", 28.98),
            ],
        ),
        packs(["5/16"], [USUAL_SPLINE], retail=True),
        splines("glass 18x16"),
        JobSheet(
            kind=KITS,
            remark=INVENTED,
            entries=[
                kit("kit 36 x 48", ["36", "48"], [2, 2], "14 ft", 16.98, supplier="supplier A"),
                kit("kit 36 x 48 with mesh", ["36", "48"], [2, 2], "14 ft", 22.48, supplier="supplier A",
                    **{"mesh": "glass 18x16", "mesh width": "38", "mesh length": "50"}),
                kit("kit 60 x 60", ["60"], [4], "20 ft", 23.98, supplier="supplier A"),
            ],
        ),
        JobSheet(
            kind=SUPPLIERS,
            remark=INVENTED,
            entries=[{"supplier": "supplier A", "delivery": 0}, {"supplier": "supplier C", "delivery": 14.5}],
        ),
    ),
)  # fmt: skip
