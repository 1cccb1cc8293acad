"""A home job: two kitchen windows, bought in a shop that sells single sticks and short rolls."""

from __future__ import annotations

from sample_jobs.stock_lists import INVENTED, USUAL_SPLINE, kit, meshes, packs, profiles, roll, splines, stick
from service.sheets.job_workbook import JobSheet, JobWorkbook
from service.sheets.kit_columns import KITS
from service.sheets.opening_columns import OPENINGS
from service.sheets.stock_columns import ROLLS, STICKS

_WINDOWS = [
    {
        "label": "kitchen left", "room": "kitchen", "width": ["27 5/8", "27 5/8", "27 11/16"],
        "height": ["41 1/2", "41 7/16"], "measured between": "channel bottoms", "mounting": "tension springs",
        "slot width": "3/8", "channel depth": "1/2", "deepest side": "top", "profile": "choose", "colour": "white",
        "mesh": "glass 18x16", "escape opening": "no", "sill height": "36", "drop outside": "60",
    },
    {
        "label": "kitchen right", "room": "kitchen", "width": ["30 1/16", "30"], "height": ["53 1/4", "53 1/4"],
        "measured between": "channel bottoms", "mounting": "tension springs", "slot width": "3/8",
        "channel depth": "1/2", "deepest side": "top", "profile": "choose", "colour": "white", "mesh": "glass 18x16",
        "escape opening": "no", "sill height": "30", "drop outside": "60",
    },
]  # fmt: skip

TWO_WINDOWS = JobWorkbook(
    how_to=(
        "Sample job: two windows at home",
        INVENTED,
        "Plan it with: screenbatch plan two_windows.xlsx --out plans/two_windows",
    ),
    job={"job name": "two kitchen windows", "unit": "in", "currency": "USD"},
    sheets=(
        JobSheet(kind=OPENINGS, entries=_WINDOWS),
        profiles("5/16"),
        JobSheet(
            kind=STICKS,
            remark=INVENTED,
            entries=[
                stick("5/16", "white", "72", 7.48),
                stick("5/16", "white", "84", 8.28),
                stick("5/16", "white", "94", 8.98),
            ],
        ),
        meshes("glass 18x16"),
        JobSheet(
            kind=ROLLS,
            remark=INVENTED,
            entries=[
                roll("glass 18x16", "36", "84", 8.98),
                roll("glass 18x16", "36", "25 ft", 22.98),
                roll("glass 18x16", "48", "84", 11.48),
                roll("glass 18x16", "48", "25 ft", 28.98),
            ],
        ),
        packs(["5/16"], [USUAL_SPLINE], retail=True),
        splines("glass 18x16"),
        JobSheet(kind=KITS, remark=INVENTED, entries=[kit("kit 36 x 48", ["36", "48"], [2, 2], "14 ft", 17.98)]),
    ),
)
