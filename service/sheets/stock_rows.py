"""Rows of the stock sheets to records of the catalogue."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import TypeVar

from service.sheets.ledger import Ledger, Place
from service.sheets.row import Row
from solver.catalogue import Kit, Mesh, Pack, Profile, RollStock, SplineChoice, StickStock, Supplier
from solver.errors import RecordError
from solver.lengths import Ticks, Unit, length_text, ticks

Stocked = TypeVar("Stocked")


@dataclass(slots=True)
class Stock:
    """What the stock sheets hold, and where each record stands."""

    unit: Unit
    profiles: list[Profile] = field(default_factory=list)
    sticks: list[StickStock] = field(default_factory=list)
    meshes: list[Mesh] = field(default_factory=list)
    rolls: list[RollStock] = field(default_factory=list)
    packs: list[Pack] = field(default_factory=list)
    splines: list[SplineChoice] = field(default_factory=list)
    kits: list[Kit] = field(default_factory=list)
    suppliers: list[Supplier] = field(default_factory=list)
    places: dict[tuple[str, str], Place] = field(default_factory=dict)
    """(kind of sheet, name) -> the row, for faults found later."""
    prices: dict[tuple[str, str], Place] = field(default_factory=dict)
    """(kind of sheet, name) -> the cell of the price."""
    sizes: dict[tuple[str, str], Place] = field(default_factory=dict)
    """(kind of sheet, name) -> the cell of a stick's length or a roll's width."""


def add_profile(stock: Stock, row: Row, sheet: str, ledger: Ledger) -> None:
    """Take a row of the profiles sheet."""
    add_record(stock, "profiles", stock.profiles, row, sheet, ledger, lambda: Profile(**row.values))


def add_mesh(stock: Stock, row: Row, sheet: str, ledger: Ledger) -> None:
    """Take a row of the meshes sheet."""
    add_record(stock, "meshes", stock.meshes, row, sheet, ledger, lambda: Mesh(**row.values))


def add_spline(stock: Stock, row: Row, sheet: str, ledger: Ledger) -> None:
    """Take a row of the splines sheet."""
    add_record(stock, "", stock.splines, row, sheet, ledger, lambda: SplineChoice(**row.values))


def add_stick(stock: Stock, row: Row, sheet: str, ledger: Ledger) -> None:
    """Take a row of the sticks sheet."""
    values = row.values
    name = values.get("name") or f"{values['profile']} {values['colour']}, {_sized(stock, values['length'])}"
    add_record(stock, "sticks", stock.sticks, row, sheet, ledger, lambda: StickStock(**values | {"name": name}))


def add_roll(stock: Stock, row: Row, sheet: str, ledger: Ledger) -> None:
    """Take a row of the rolls sheet."""
    values = row.values
    if "length" not in values and "step" not in values:
        place = Place(sheet, row.number, row.column("length"))
        ledger.error(place, "a roll needs its length, or a selling step for running length")
        return
    size = _long(stock, values["length"]) if "length" in values else f"by {_long(stock, values['step'])}"
    name = values.get("name") or f"{values['mesh']}, {_sized(stock, values['width'])} x {size}"
    add_record(stock, "rolls", stock.rolls, row, sheet, ledger, lambda: RollStock(**values | {"name": name}))


def add_pack(stock: Stock, row: Row, sheet: str, ledger: Ledger) -> None:
    """Take a row of the packs sheet."""
    values = dict(row.values)
    hardware = values["hardware"]
    pieces, length = values.pop("pieces", None), values.pop("length", None)
    on_hand_length = values.pop("on_hand_length", None)
    size = length if hardware.by_length else pieces
    if not size:
        wanted = "length" if hardware.by_length else "pieces"
        held = f"how much {hardware.value} is on it" if hardware.by_length else f"how many of {hardware.value} it holds"
        message = f"a pack of none: write {held} under '{wanted}', 1 or more"
        ledger.error(Place(sheet, row.number, row.column(wanted)), message)
        return
    if hardware.by_length:
        if values.get("on_hand"):
            message = f"{hardware.value} is cut to length; write what is on hand under 'on hand length'"
            ledger.error(Place(sheet, row.number, row.columns["on_hand"]), message)
            return
        values["on_hand"] = on_hand_length or 0
    name = values.get("name") or " ".join(
        filter(None, (hardware.value, values.get("fits"), "x", _long(stock, size) if hardware.by_length else str(size)))
    )
    add_record(stock, "packs", stock.packs, row, sheet, ledger, lambda: Pack(**values | {"name": name, "size": size}))


def add_leftover(stock: Stock, row: Row, sheet: str, ledger: Ledger) -> None:
    """Take a row of the leftovers sheet: a stick if it names a profile, a piece of mesh if it names a mesh."""
    values = dict(row.values)
    place = Place(sheet, row.number)
    if bool(values.get("profile")) == bool(values.get("mesh")):
        ledger.error(
            place, "a leftover is a stick (write profile and colour) or a piece of mesh (write mesh and width)"
        )
        return
    values |= {"leftover": True, "on_sale": False, "on_hand": values.get("on_hand", 1)}
    if values.get("profile"):
        if not values.get("colour"):
            ledger.error(place, "a leftover stick needs its colour")
            return
        values.pop("width", None)
        values.pop("mesh", None)
        what = f"leftover {values['profile']} {values['colour']}, {_sized(stock, values['length'])}"
        values["name"] = _free(stock, "sticks", values.get("name") or what, row.number)
        add_record(stock, "sticks", stock.sticks, row, sheet, ledger, lambda: StickStock(**values))
        return
    if "width" not in values:
        ledger.error(place, "a leftover piece of mesh needs its width")
        return
    values.pop("profile", None)
    values.pop("colour", None)
    what = f"leftover {values['mesh']}, {_sized(stock, values['width'])} x {_long(stock, values['length'])}"
    values["name"] = _free(stock, "rolls", values.get("name") or what, row.number)
    add_record(stock, "rolls", stock.rolls, row, sheet, ledger, lambda: RollStock(**values))


def _free(stock: Stock, kind: str, name: str, row: int) -> str:
    """Return a name nobody has yet: leftovers are often alike."""
    return f"{name} (row {row})" if (kind, name) in stock.places else name


def _sized(stock: Stock, length: Ticks) -> str:
    mark = "in" if stock.unit is Unit.INCH else "mm"
    return f"{length_text(length, stock.unit)} {mark}"


def _long(stock: Stock, length: Ticks) -> str:
    """Return a running length as it is sold: by the foot or by the metre where it comes out even."""
    whole, name = (ticks(1, "ft"), "ft") if stock.unit is Unit.INCH else (ticks(1, "m"), "m")
    return f"{length // whole} {name}" if length % whole == 0 else _sized(stock, length)


def add_record(
    stock: Stock,
    kind: str,
    records: list[Stocked],
    row: Row,
    sheet: str,
    ledger: Ledger,
    make: Callable[[], Stocked],
) -> None:
    """Make the record of a row, or say why it cannot exist."""
    place = Place(sheet, row.number)
    try:
        record = make()
    except RecordError as error:
        ledger.error(Place(sheet, row.number, row.column(error.field)), str(error))
        return
    name = getattr(record, "name", "")
    if kind and (kind, name) in stock.places:
        before = stock.places[kind, name]
        ledger.error(place, f"{name} is listed twice, the first time in {before.sheet} row {before.row}; keep one")
        return
    records.append(record)
    if kind:
        stock.places[kind, name] = place
        stock.prices[kind, name] = Place(sheet, row.number, row.column("price"))
        stock.sizes[kind, name] = Place(sheet, row.number, row.column("width" if kind == "rolls" else "length"))
