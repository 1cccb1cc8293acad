"""Stock sheets that the sample jobs share. Sizes are common ones from memory; every price is invented."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from service.sheets.job_workbook import Cell, Entry, JobSheet
from service.sheets.stock_columns import MESHES, PACKS, PROFILES, SPLINES

INVENTED = "Sample job: place, orders and sizes are invented, and so is every price."

_PROFILES: dict[str, Entry] = {
    "5/16": {"profile": "5/16", "thickness": "5/16", "face": "3/4", "corner": "square cut", "corner leg": "3/4",
             "review short side": "48", "review long side": "60"},
    "3/8": {"profile": "3/8", "thickness": "3/8", "face": "3/4", "corner": "square cut", "corner leg": "3/4",
            "review short side": "48", "review long side": "72"},
    "7/16": {"profile": "7/16", "thickness": "7/16", "face": "1", "corner": "square cut", "corner leg": "3/4",
             "review short side": "60", "review long side": "84"},
}  # fmt: skip
_MESHES: dict[str, Entry] = {
    "glass 18x16": {"mesh": "glass 18x16", "turning": "never turn", "threads across": 18, "threads along": 16,
                    "thread diameter": "0.011 in", "heavy": "no"},
    "pet cloth": {"mesh": "pet cloth", "turning": "may turn", "threads across": 14, "threads along": 10,
                  "thread diameter": "0.025 in", "heavy": "yes"},
    "solar cloth": {"mesh": "solar cloth", "turning": "never turn", "heavy": "yes"},
}  # fmt: skip
USUAL_SPLINE, THIN_SPLINE = "0.160 in", "0.140 in"


def profiles(*names: str) -> JobSheet:
    """Return the profiles sheet."""
    return JobSheet(kind=PROFILES, entries=[_PROFILES[name] for name in names], remark=INVENTED)


def meshes(*names: str) -> JobSheet:
    """Return the meshes sheet."""
    return JobSheet(kind=MESHES, entries=[_MESHES[name] for name in names], remark=INVENTED)


def splines(*names: str) -> JobSheet:
    """Return the splines sheet: one usual spline, a thinner one for heavy cloth."""
    heavy = [{"spline": THIN_SPLINE, "mesh": name} for name in names if _MESHES[name]["heavy"] == "yes"]
    return JobSheet(kind=SPLINES, entries=[*heavy, {"spline": USUAL_SPLINE}], remark=INVENTED)


def stick(profile: str, colour: str, length: str, price: float, **more: str | float) -> Entry:
    """Return a row of the sticks sheet."""
    row: dict[str, Cell] = {"profile": profile, "colour": colour, "length": length, "price": price}
    return row | {"supplier": "supplier A"} | more


def roll(mesh: str, width: str, length: str, price: float, **more: str | float) -> Entry:
    """Return a row of the rolls sheet."""
    row: dict[str, Cell] = {"mesh": mesh, "width": width, "length": length, "price": price}
    return row | {"supplier": "supplier B"} | more


def kit(name: str, lengths: Iterable[str], sticks: Iterable[int], spline: str, price: float, **more: str) -> Entry:
    """Return a row of the kits sheet: sticks of the thin white profile with what one screen takes besides."""
    row: dict[str, Cell | Sequence[Cell]] = {
        "kit": name, "profile": "5/16", "colour": "white", "stick length": list(lengths), "sticks": list(sticks),
        "corners": 4, "tension springs": 2, "pull tabs": 2, "spline": USUAL_SPLINE, "spline length": spline,
        "price": price,
    }  # fmt: skip
    return {**row, **more}


def packs(profile_names: Iterable[str], spline_names: Iterable[str], *, retail: bool) -> JobSheet:
    """Return the packs sheet: small retail packs, or those of a workshop."""
    found = _retail_packs(profile_names, spline_names) if retail else _shop_packs(profile_names, spline_names)
    entries = [{**entry, "supplier": "supplier A"} for entry in found]
    return JobSheet(kind=PACKS, entries=entries, remark=INVENTED)


def _retail_packs(profile_names: Iterable[str], spline_names: Iterable[str]) -> Iterator[Entry]:
    for profile in profile_names:
        yield {"hardware": "corner", "pieces": 4, "fits": profile, "price": 2.48}
        yield {"hardware": "cross bar clip", "pieces": 2, "fits": profile, "price": 1.98}
    for spline in spline_names:
        yield {"hardware": "spline", "length": "25 ft", "fits": spline, "price": 3.98}
    yield {"hardware": "tension spring", "pieces": 4, "price": 2.28}
    yield {"hardware": "pull tab", "pieces": 4, "price": 1.78}


def _shop_packs(profile_names: Iterable[str], spline_names: Iterable[str]) -> Iterator[Entry]:
    for profile in profile_names:
        yield {"hardware": "corner", "pieces": 25, "fits": profile, "price": 7.5}
        yield {"hardware": "corner", "pieces": 100, "fits": profile, "price": 24.0}
        yield {"hardware": "cross bar clip", "pieces": 20, "fits": profile, "price": 6.0}
    for spline in spline_names:
        yield {"hardware": "spline", "length": "100 ft", "fits": spline, "price": 9.5}
        yield {"hardware": "spline", "length": "500 ft", "fits": spline, "price": 36.0}
    for hardware, pieces, price in (
        ("tension spring", 100, 14.0), ("leaf spring", 50, 11.0), ("plunger pin", 50, 16.5), ("face clip", 100, 13.0),
        ("roller", 20, 18.0), ("latch", 10, 9.0), ("pull", 10, 6.5), ("pull tab", 100, 9.0), ("label", 250, 8.0),
        ("fall caution label", 250, 12.0),
    ):  # fmt: skip
        yield {"hardware": hardware, "pieces": pieces, "price": price}
    yield {"hardware": "bug seal", "length": "100 ft", "price": 15.0}
    yield {"hardware": "magnetic strip", "length": "100 ft", "price": 42.0}
