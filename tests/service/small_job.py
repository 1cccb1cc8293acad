"""A job of a few windows of one size as a JSON job file, for tests of what comes after the plan."""

from __future__ import annotations

from typing import Any

Sheets = dict[str, list[dict[str, Any]]]


def small_sheets(windows: int = 2, *, bronze: bool = False) -> Sheets:
    """Return sheets with windows A-1, A-2 ..., each its own order and phase; one stick and one roll to buy.

    With ``bronze`` a stick of another colour is to be had too.
    """
    sheets: Sheets = {
        "openings": [
            {
                "label": f"A-{number}",
                "order": str(number),
                "phase": str(number),
                "width": "33 1/4",
                "height": "47 3/8",
                "measured between": "channel bottoms",
                "profile": "5/16",
                "colour": "white",
                "mesh": "glass 18x16",
            }
            for number in range(1, windows + 1)
        ],
        "profiles": [
            {"name": "5/16", "thickness": "5/16 in", "face": "3/4 in", "corner": "square cut", "corner leg": "3/4 in"}
        ],
        "sticks": [{"name": "8 ft", "profile": "5/16", "colour": "white", "length": "96", "price": 8}],
        "rolls": [{"name": "48", "mesh": "glass 18x16", "width": "48", "length": "100 ft", "price": 60}],
    }
    if bronze:
        sheets["sticks"].append(
            {"name": "8 ft bronze", "profile": "5/16", "colour": "bronze", "length": "96", "price": 9}
        )
    return sheets
