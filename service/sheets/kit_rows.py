"""Rows of the kits and suppliers sheets to records of the catalogue."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from service.sheets.kit_columns import FITS_THE_PROFILE, KIT_COUNTS
from service.sheets.ledger import Ledger, Place
from service.sheets.row import Row
from service.sheets.stock_rows import Stock, add_record
from solver.catalogue import Hardware, Kit, KitHardware, KitMesh, KitSticks, Supplier

STICKS_OF_A_KIT = ("stick_lengths", "stick_counts")
NO_STICKS = "a kit holds sticks: write their length and how many; hardware sold without sticks goes into packs"


def add_kit(stock: Stock, row: Row, sheet: str, ledger: Ledger) -> None:
    """Take a row of the kits sheet."""
    values = dict(row.values)
    lengths, counts = values.pop("stick_lengths"), values.pop("stick_counts")
    if len(lengths) != len(counts):
        message = f"{len(lengths)} stick lengths and {len(counts)} numbers of sticks; write one number for each length"
        ledger.error(Place(sheet, row.number, row.column("stick_counts")), message)
        return
    values["sticks"] = tuple(
        KitSticks(length=length, count=count) for length, count in zip(lengths, counts, strict=True)
    )
    values["hardware"] = tuple(_hardware(values))
    if not _take_mesh(values):
        place = Place(sheet, row.number, row.column("mesh"))
        ledger.error(place, "mesh in a kit needs its name, its width and its length")
        return
    add_record(stock, "kits", stock.kits, row, sheet, ledger, lambda: Kit(**values))


def add_supplier(stock: Stock, row: Row, sheet: str, ledger: Ledger) -> None:
    """Take a row of the suppliers sheet."""
    add_record(stock, "suppliers", stock.suppliers, row, sheet, ledger, lambda: Supplier(**row.values))


def _hardware(values: dict[str, Any]) -> Iterator[KitHardware]:
    """Yield the hardware of a kit and take its columns out of the values."""
    for hardware in KIT_COUNTS:
        count = values.pop(hardware.name, 0)
        if count:
            fits = values["profile"] if hardware in FITS_THE_PROFILE else ""
            yield KitHardware(hardware=hardware, amount=count, fits=fits)
    spline, length = values.pop("spline", ""), values.pop("spline_length", 0)
    if length:
        yield KitHardware(hardware=Hardware.SPLINE, amount=length, fits=spline)


def _take_mesh(values: dict[str, Any]) -> bool:
    """Put the mesh of a kit in place of its columns; return False if it is only half described."""
    name, count = values.pop("mesh", ""), values.pop("mesh_pieces", 1)
    width, length = values.pop("mesh_width", None), values.pop("mesh_length", None)
    given = [bool(name), width is not None, length is not None]
    if all(given):
        values["mesh"] = KitMesh(mesh=name, width=width, length=length, count=count)
    return all(given) or not any(given)
