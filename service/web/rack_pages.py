"""The rack: leftovers looked for, measured, added, thrown away; its rules; lists in and out."""

from __future__ import annotations

import tempfile
import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import asdict, replace
from http import HTTPStatus
from pathlib import Path
from urllib.parse import urlencode

from fastapi import APIRouter, Request, Response
from starlette.concurrency import run_in_threadpool
from starlette.responses import RedirectResponse

from service.api.after_plan import AfterPlan
from service.api.office import tenant_of
from service.deliverables import CSV, XLSX
from service.errors import BusyError, PartFailedError, RackError, RefusedError, SheetError
from service.leftovers.records import NewPiece, PieceState, RackPiece, RackRules, Search
from service.rack.lengths import rack_length
from service.rack.lists import days_old, in_either_unit, lengths_of, pieces_of, write_rack
from service.rack.rack import Rack
from service.sheets.findings import Finding
from service.sheets.leftover_list import LeftoverRow
from service.web.page_route import PageRoute
from service.web.rendering import page
from service.web.sent_form import repeated, sheet_sent, texts
from solver.errors import RecordError
from solver.lengths import Ticks, Unit, length_text

SHOWN = 200
_MOST_FIELDS = 5_000
_LONGEST_FIELD = 1 << 18
_FIELDS = ("profile", "colour", "mesh", "length", "width", "days", "state", "job", "unit")
_SIZES = ("least_stick", "least_mesh_width", "least_mesh_length")
_EVERYTHING = 1_000_000


def rack_pages(rack: Rack, after: AfterPlan) -> APIRouter:
    """Return the routes of the rack."""
    routes = APIRouter(route_class=PageRoute, include_in_schema=False)

    @routes.get("/page/rack")
    def look(request: Request) -> Response:
        said = {name: request.query_params.get(name, "")[:200] for name in _FIELDS}
        return _rack_page(rack, tenant_of(request), said, done=request.query_params.get("done", "")[:200])

    @routes.post("/page/rack")
    async def act(request: Request) -> Response:
        async with request.form(max_fields=_MOST_FIELDS, max_part_size=_LONGEST_FIELD) as sent:
            form = texts(sent)
            codes = repeated(sent, "code")
            sheet = await sheet_sent(sent)
        tenant = tenant_of(request)
        said = {name: form.get(name, "") for name in _FIELDS}

        def acted() -> Response:
            try:
                done = _acted(rack, after, tenant, form, codes, sheet)
            except RefusedError as error:
                trouble = "; ".join(f"row {f.cell}: {f.message}" if f.cell else f.message for f in error.findings[:10])
                return _rack_page(rack, tenant, said, trouble=trouble, form=form)
            except (RackError, RecordError, SheetError, BusyError, PartFailedError) as error:
                return _rack_page(rack, tenant, said, trouble=str(error), form=form)
            kept = {name: text for name, text in said.items() if text}
            return RedirectResponse(f"/page/rack?{urlencode(kept | {'done': done})}", status_code=HTTPStatus.SEE_OTHER)

        return await run_in_threadpool(acted)

    @routes.get("/page/rack/leftovers.{ending}")
    def as_a_list(ending: str, request: Request) -> Response:
        ending = ending if ending in ("csv", "xlsx") else "csv"
        unit = Unit(request.query_params["unit"]) if request.query_params.get("unit") in ("in", "mm") else Unit.INCH
        pieces = rack.search(tenant_of(request), Search(limit=_EVERYTHING))
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / f"leftovers.{ending}"
            write_rack(path, pieces, time.time(), unit)
            headers = {"Content-Disposition": f'attachment; filename="leftovers.{ending}"'}
            return Response(path.read_bytes(), media_type=XLSX if ending == "xlsx" else CSV, headers=headers)

    return routes


def _unit(said: Mapping[str, str]) -> Unit | None:
    return Unit(said["unit"]) if said.get("unit") in ("in", "mm") else None


def _search(said: Mapping[str, str]) -> Search:
    unit, days = _unit(said), said["days"].strip()
    if days and not (days.isascii() and days.isdecimal()):
        raise RecordError(f"age {days}: write whole days")
    state = said["state"] or PieceState.FREE.value
    known = {each.value: each for each in PieceState}
    return Search(
        profile=said["profile"].strip(),
        colour=said["colour"].strip(),
        mesh=said["mesh"].strip(),
        least_length=rack_length(said["length"], unit) if said["length"].strip() else Ticks(0),
        least_width=rack_length(said["width"], unit) if said["width"].strip() else Ticks(0),
        older_than_days=float(days or 0),
        state=known.get(state),
        job=said["job"].strip(),
        limit=SHOWN + 1,
    )


def _rack_page(
    rack: Rack,
    tenant: str,
    said: Mapping[str, str],
    *,
    trouble: str = "",
    done: str = "",
    form: Mapping[str, str] | None = None,
) -> Response:
    found: list[RackPiece] = []
    try:
        found = rack.search(tenant, _search(said))
    except RecordError as error:
        trouble = trouble or str(error)
    now = time.time()
    rules, unit = rack.rules(tenant), _unit(said) or Unit.INCH
    waiting = rack.search(tenant, Search(state=PieceState.EXPECTED, limit=_EVERYTHING))
    return page(
        "rack.html",
        HTTPStatus.UNPROCESSABLE_ENTITY if trouble else HTTPStatus.OK,
        said=said,
        form=form or {},
        trouble=trouble,
        done=done,
        pieces=[(piece, days_old(piece, now)) for piece in found[:SHOWN]],
        more=len(found) > SHOWN,
        waiting=len(waiting),
        due=len(rack.due_for_scrap(tenant)),
        states=[state.value for state in PieceState],
        unit=unit,
        rules=rules,
        sizes={name: f"{length_text(getattr(rules, name), unit)} {unit.value}" for name in _SIZES},
    )


def _acted(
    rack: Rack,
    after: AfterPlan,
    tenant: str,
    form: Mapping[str, str],
    codes: Sequence[str],
    sheet: tuple[str, bytes] | None,
) -> str:
    """Do what the pressed button says; return in words what was done."""
    unit = _unit(form)
    match form.get("do"):
        case "measured":
            lengths = {
                name.removeprefix("real.").strip().upper(): rack_length(text, unit)
                for name, text in form.items()
                if name.startswith("real.") and text.strip()
            }
            if form.get("scan.code", "").strip():
                lengths[form["scan.code"].strip().upper()] = rack_length(form.get("scan.length", ""), unit)
            return _confirmed(rack.confirm(tenant, lengths))
        case "scrap":
            return f"{len(rack.scrap(tenant, codes))} thrown away"
        case "by rule":
            due = [piece.id for piece in rack.due_for_scrap(tenant)]
            return f"{len(rack.scrap(tenant, due))} thrown away"
        case "rules":
            rack.set_rules(tenant, _rules(form, unit))
            return "rules kept"
        case "add":
            return _laid(rack, tenant, [_new_piece(form, unit)])
        case "add sheet" | "measured sheet":
            if sheet is None:
                raise RecordError("choose a sheet first")
            return _from_sheet(rack, after, tenant, form["do"], sheet, unit)
        case _:
            raise RecordError("nothing was chosen")


def _confirmed(pieces: Sequence[RackPiece]) -> str:
    free = sum(piece.state is PieceState.FREE for piece in pieces)
    return f"{free} on the rack, {len(pieces) - free} not kept"


def _laid(rack: Rack, tenant: str, pieces: Sequence[NewPiece]) -> str:
    kept = rack.add(tenant, pieces)
    return f"{len(kept)} on the rack, {len(pieces) - len(kept)} too small to keep"


def _new_piece(form: Mapping[str, str], unit: Unit | None) -> NewPiece:
    width = form.get("new.width", "")
    return NewPiece(
        profile=form.get("new.profile", "").strip(),
        colour=form.get("new.colour", "").strip(),
        mesh=form.get("new.mesh", "").strip(),
        length=rack_length(form.get("new.length", ""), unit),
        width=rack_length(width, unit) if width.strip() else Ticks(0),
        place=form.get("new.place", "").strip()[:200],
    )


def _from_sheet(
    rack: Rack, after: AfterPlan, tenant: str, what: str, sheet: tuple[str, bytes], unit: Unit | None
) -> str:
    def rows(each: Unit) -> tuple[Sequence[LeftoverRow], Sequence[Finding]]:
        return after.leftovers_of_sheet(*sheet, each)

    if what == "add sheet":
        read: Callable[[Unit], list[NewPiece]] = lambda each: pieces_of(*rows(each))  # noqa: E731
        return _laid(rack, tenant, in_either_unit(read, unit))
    waiting = rack.search(tenant, Search(state=PieceState.EXPECTED, limit=_EVERYTHING))
    return _confirmed(rack.confirm(tenant, in_either_unit(lambda each: lengths_of(*rows(each), waiting), unit)))


def _rules(form: Mapping[str, str], unit: Unit | None) -> RackRules:
    numbers = {}
    for name in ("oldest_days", "most_pieces"):
        text = form.get(name, "").strip() or "0"
        if not (text.isascii() and text.isdecimal() and len(text) < 8):
            raise RecordError(f"{name.replace('_', ' ')} {text}: write a whole number")
        numbers[name] = int(text)
    sizes = {name: rack_length(form.get(name, ""), unit) for name in _SIZES}
    return replace(RackRules(), **asdict(RackRules()) | sizes | numbers)
