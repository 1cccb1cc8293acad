"""The catalogue of a job: its stock sheets, and our defaults where it has none."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Sequence
from typing import TypeAlias, TypeVar

from service.sheets.kit_rows import add_kit, add_supplier
from service.sheets.ledger import Ledger, Place
from service.sheets.row import Row
from service.sheets.stock_rows import (
    Stock,
    add_leftover,
    add_mesh,
    add_pack,
    add_profile,
    add_roll,
    add_spline,
    add_stick,
)
from solver.catalogue import Catalogue, Pack, RollStock, StickStock
from solver.defaults import default_catalogue
from solver.errors import RecordError
from solver.openings import Opening

Adder: TypeAlias = Callable[[Stock, Row, str, Ledger], None]

_Stocked = TypeVar("_Stocked", bound=StickStock | RollStock)

ADDERS: dict[str, Adder] = {
    "profiles": add_profile,
    "sticks": add_stick,
    "meshes": add_mesh,
    "rolls": add_roll,
    "packs": add_pack,
    "splines": add_spline,
    "leftovers": add_leftover,
    "kits": add_kit,
    "suppliers": add_supplier,
}


def catalogue_of(stock: Stock, openings: Sequence[Opening], ledger: Ledger) -> tuple[Catalogue | None, tuple[str, ...]]:
    """Return the catalogue, and in the office's words what defaults stand in for.

    None if the stock sheets contradict themselves; the ledger says how.
    """
    colours = [opening.colour for opening in openings]
    colours += [stick.colour for stick in stock.sticks] + [kit.colour for kit in stock.kits]
    meshes = [opening.mesh for opening in openings] + [mesh.name for mesh in stock.meshes]
    meshes += [roll.mesh for roll in stock.rolls] + [kit.mesh.mesh for kit in stock.kits if kit.mesh is not None]
    ours = default_catalogue(colours, meshes, stock.unit)
    assumed: list[str] = []
    # A leftover is no list of what is on sale: with leftovers alone the default sticks and rolls stay.
    in_kits = {(kit.profile, kit.colour) for kit in stock.kits}
    # A priced kit cannot be compared with sticks whose price nobody knows.
    our_sticks = [stick for stick in ours.sticks if (stick.profile, stick.colour) not in in_kits]
    sticks = _or_default(stock.sticks, our_sticks, "sticks", assumed)
    rolls = _or_default(stock.rolls, ours.rolls, "rolls", assumed)
    profiles = stock.profiles
    if not profiles:
        named = {stick.profile for stick in stock.sticks} | {kit.profile for kit in stock.kits}
        profiles = [profile for profile in ours.profiles if not named or profile.name in named] or list(ours.profiles)
        assumed.append("profiles: the usual ones, as none are listed")
        _name_unknown_profiles(stock, {profile.name for profile in profiles}, ledger)
    listed = {mesh.name for mesh in stock.meshes}
    known = {mesh.name.casefold() for mesh in stock.meshes}
    extra = [mesh for mesh in ours.meshes if mesh.name.casefold() not in known]
    if not stock.meshes:
        assumed.append("meshes: by what their names say, as none are listed")
    meshes_there = [
        *stock.meshes,
        *(mesh for mesh in extra if not listed or mesh.name in {r.mesh for r in stock.rolls}),
    ]
    packs = stock.packs or list(ours.packs)
    if not stock.packs:
        assumed.append("packs: the usual hardware without prices, as none is listed")
    splines = stock.splines or list(ours.splines)
    if not stock.splines:
        assumed.append("splines: the usual ones, as none are listed; confirm on a trial piece")
    _check_prices(stock, sticks, rolls, packs, ledger)
    try:
        return (
            Catalogue(
                profiles=tuple(profiles),
                meshes=tuple(meshes_there),
                sticks=tuple(sticks),
                rolls=tuple(rolls),
                packs=tuple(packs),
                splines=tuple(splines),
                kits=tuple(stock.kits),
                suppliers=tuple(stock.suppliers),
            ),
            tuple(assumed),
        )
    except RecordError as error:
        ledger.error(Place("stock"), str(error))
        return None, tuple(assumed)


def _or_default(listed: Sequence[_Stocked], ours: Sequence[_Stocked], kind: str, assumed: list[str]) -> list[_Stocked]:
    if any(not each.leftover for each in listed):
        return list(listed)
    assumed.append(f"{kind}: the usual sizes without prices, as none are listed")
    names = {each.name for each in listed}
    return [*listed, *(each for each in ours if each.name not in names)]


def _name_unknown_profiles(stock: Stock, known: set[str], ledger: Ledger) -> None:
    """Refuse sticks of profiles that nobody describes."""
    named = [("sticks", stick.name, stick.profile) for stick in stock.sticks]
    named += [("kits", kit.name, kit.profile) for kit in stock.kits]
    for kind, name, profile in named:
        if profile not in known:
            message = f"profile {profile} is not described; add a profiles sheet with its thickness, face and corner"
            ledger.error(stock.places[kind, name], message)


def _check_prices(
    stock: Stock, sticks: Sequence[StickStock], rolls: Sequence[RollStock], packs: Sequence[Pack], ledger: Ledger
) -> None:
    """Refuse stock of one profile and colour, one mesh or one hardware that has prices only in part."""
    groups: dict[tuple[str, ...], list[tuple[str, str, bool]]] = defaultdict(list)
    for stick in sticks:
        if stick.on_sale:
            groups["sticks", f"profile {stick.profile} in {stick.colour}"].append(
                ("sticks", stick.name, stick.price is not None)
            )
    for kit in stock.kits:
        if kit.on_sale:
            groups["sticks", f"profile {kit.profile} in {kit.colour}"].append(("kits", kit.name, kit.price is not None))
    for roll in rolls:
        if roll.on_sale:
            groups["rolls", f"mesh {roll.mesh}"].append(("rolls", roll.name, roll.price is not None))
    for pack in packs:
        if pack.on_sale:
            what = f"{pack.hardware.value} {pack.fits}".strip()
            groups["packs", what].append(("packs", pack.name, pack.price is not None))
    for (_, what), members in groups.items():
        if len({priced for _, _, priced in members}) < 2:
            continue
        for kind, name, priced in members:
            place = stock.prices.get((kind, name))
            if not priced and place is not None:
                ledger.error(place, f"{name} has no price, others of {what} have one; write its price, or take all out")
