"""The rack over HTTP: leftovers found, measured, promised to jobs, thrown away."""

from __future__ import annotations

import tempfile
import time
from collections.abc import Sequence
from dataclasses import asdict, replace
from http import HTTPStatus
from pathlib import Path
from typing import Annotated, Any

from fastapi import APIRouter, Query, Response
from fastapi import Path as PathParameter
from pydantic import BaseModel, ConfigDict, Field

from service.api.after_plan import AfterPlan
from service.api.job_routes import Tenant
from service.api.office import Office
from service.api.problems import described, problem
from service.errors import (
    BusyError,
    PartFailedError,
    PieceTakenError,
    RackError,
    RackFullError,
    UnknownJobError,
    UnknownPieceError,
)
from service.leftovers.records import NewPiece, PieceState, RackPiece, RackRules, Search
from service.rack.lengths import rack_length
from service.rack.lists import days_old, write_rack
from service.rack.rack import Rack
from solver.errors import RecordError
from solver.lengths import Ticks, Unit, length_text, mm_number

_STATUS: dict[type[Exception], tuple[HTTPStatus, str]] = {
    UnknownPieceError: (HTTPStatus.NOT_FOUND, "unknown-piece"),
    PieceTakenError: (HTTPStatus.CONFLICT, "piece-taken"),
    RackFullError: (HTTPStatus.CONFLICT, "rack-full"),
}
_CSV = "text/csv; charset=utf-8"
LengthText = Annotated[
    str, Field(max_length=40, description="As people write it, with its unit; a tape fraction proves inches.")
]
JobName = Annotated[str, PathParameter(max_length=120, description="Name of the job; a service's job by its id.")]


Word = Annotated[str, Field(max_length=200, pattern=r"^[^\x00-\x1f\x7f]*$")]
"""One line of letters, digits and signs."""


class PieceIn(BaseModel):
    """A measured leftover: a stick with its profile, or a piece of mesh with its mesh and width."""

    model_config = ConfigDict(
        extra="forbid",
        strict=True,
        json_schema_extra={"example": {"profile": "5/16", "colour": "white", "length": "60 1/2 in", "place": "bay 3"}},
    )

    profile: Word = ""
    colour: Word = ""
    mesh: Word = ""
    width: LengthText = ""
    length: LengthText
    both_ends_clean: bool = False
    place: Word = ""
    source: Word = ""


class PieceOut(BaseModel):
    """A piece on the rack; lengths in exact millimetres and as a tape reading."""

    id: str
    state: str
    profile: str
    colour: str
    mesh: str
    width_mm: float
    length_mm: float
    length_tape: str
    both_ends_clean: bool
    place: str
    source: str
    label: str
    job: str
    days: int


class PiecesOut(BaseModel):
    """Pieces, shortest first; ``next`` is what to send as ``after`` for the next page."""

    pieces: list[PieceOut]
    next: str | None = None


class PiecesIn(BaseModel):
    """Pieces to lay on the rack."""

    model_config = ConfigDict(extra="forbid", strict=True)

    pieces: list[PieceIn] = Field(min_length=1, max_length=1_000)


class ReservationIn(BaseModel):
    """Which job wants which pieces; without pieces, those that the plan of a finished job of this service takes."""

    model_config = ConfigDict(extra="forbid", strict=True)

    job: str = Field(min_length=1, max_length=120)
    pieces: list[str] | None = Field(default=None, max_length=10_000)


class MeasuredIn(BaseModel):
    """Real lengths by codes, those of the rack or those that the job printed; 0 for a piece that is not there."""

    model_config = ConfigDict(
        extra="forbid", strict=True, json_schema_extra={"example": {"lengths": {"L7K2M9QXA": "49 7/8 in"}}}
    )

    lengths: dict[str, LengthText] = Field(min_length=1, max_length=10_000)


class ScrapIn(BaseModel):
    """Pieces to throw away, by their codes or by the rack's rules."""

    model_config = ConfigDict(extra="forbid", strict=True)

    pieces: list[str] = Field(default_factory=list, max_length=10_000)
    by_rule: bool = False


class RulesBody(BaseModel):
    """What the rack keeps."""

    model_config = ConfigDict(extra="forbid", strict=True)

    least_stick: LengthText = "12 in"
    least_mesh_width: LengthText = "18 in"
    least_mesh_length: LengthText = "24 in"
    oldest_days: int = Field(default=0, ge=0, le=100_000)
    most_pieces: int = Field(default=2_000, ge=1, le=1_000_000)


def rack_routes(office: Office, rack: Rack, after: AfterPlan) -> APIRouter:
    """Return the routes that deal with the rack."""
    routes = APIRouter(tags=["rack"], prefix="/rack", responses=described(404, 409, 422, 503))
    _list_routes(routes, rack)
    _promise_routes(routes, office, rack, after)
    _rule_routes(routes, rack)
    return routes


def _list_routes(routes: APIRouter, rack: Rack) -> None:
    @routes.get("", response_model=PiecesOut)
    def list_pieces(
        tenant: Tenant,
        profile: str = "",
        colour: str = "",
        mesh: str = "",
        length: Annotated[str, Query(max_length=40, description="At least so long.")] = "",
        width: Annotated[str, Query(max_length=40, description="Mesh at least so wide.")] = "",
        older_than_days: float = 0.0,
        state: Annotated[str, Query(pattern="^(expected|free|reserved|used|scrapped|all)$")] = "free",
        job: str = "",
        after: Annotated[str, Query(pattern=r"^([0-9]{1,12}~L[0-9A-Z]{8})?$")] = "",
        limit: Annotated[int, Query(ge=1, le=1_000)] = 100,
    ) -> Any:
        """Look for pieces; the shortest that is long enough comes first."""
        try:
            behind = after.split("~")
            wanted = Search(
                profile=profile,
                colour=colour,
                mesh=mesh,
                least_length=rack_length(length) if length else Ticks(0),
                least_width=rack_length(width) if width else Ticks(0),
                older_than_days=older_than_days,
                state=None if state == "all" else PieceState(state),
                job=job,
                after=(Ticks(int(behind[0])), behind[1]) if after else None,
                limit=limit,
            )
        except RecordError as error:
            return _refused(error)
        found = rack.search(tenant, wanted)
        last = f"{found[-1].length}~{found[-1].id}" if len(found) == limit else None
        return PiecesOut(pieces=_out(found), next=last)

    @routes.get("/leftovers.csv", response_class=Response)
    def list_as_a_sheet(tenant: Tenant) -> Response:
        """Get the free pieces as a list that a job can take as its sheet of leftovers."""
        pieces = rack.search(tenant, Search(limit=1_000_000))
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / "leftovers.csv"
            write_rack(path, pieces, time.time(), Unit.INCH)
            headers = {"Content-Disposition": 'attachment; filename="leftovers.csv"'}
            return Response(path.read_bytes(), media_type=_CSV, headers=headers)

    @routes.post("", status_code=HTTPStatus.CREATED, response_model=PiecesOut)
    def add_pieces(body: PiecesIn, tenant: Tenant) -> Any:
        """Lay measured pieces on the rack; those too small by its rules are left out."""
        try:
            pieces = [
                NewPiece(
                    **piece.model_dump(exclude={"length", "width"}),
                    length=rack_length(piece.length),
                    width=rack_length(piece.width) if piece.width else Ticks(0),
                )
                for piece in body.pieces
            ]
            return PiecesOut(pieces=_out(rack.add(tenant, pieces)))
        except (RecordError, RackError) as error:
            return _refused(error)

    @routes.post("/measured", response_model=PiecesOut)
    def confirm_lengths(body: MeasuredIn, tenant: Tenant) -> Any:
        """Make what a finished job leaves over stock, by the lengths really measured."""
        try:
            return PiecesOut(pieces=_out(rack.confirm(tenant, {c: rack_length(t) for c, t in body.lengths.items()})))
        except (RecordError, RackError) as error:
            return _refused(error)

    @routes.post("/scrapped", response_model=PiecesOut)
    def scrap_pieces(body: ScrapIn, tenant: Tenant) -> Any:
        """Throw pieces away that no job is promised."""
        try:
            codes = [piece.id for piece in rack.due_for_scrap(tenant)] if body.by_rule else body.pieces
            return PiecesOut(pieces=_out(rack.scrap(tenant, codes)))
        except RackError as error:
            return _refused(error)


def _promise_routes(routes: APIRouter, office: Office, rack: Rack, after: AfterPlan) -> None:
    @routes.post("/reservations", response_model=PiecesOut)
    def reserve_pieces(body: ReservationIn, tenant: Tenant) -> Any:
        """Promise pieces to a job, all or none; what its plan leaves over is expected from then on."""
        try:
            if body.pieces is not None:
                return PiecesOut(pieces=_out(rack.reserve(tenant, body.job, body.pieces)))
            after.book(tenant, body.job)
            chain = office.desk.job(tenant, body.job).chain
            return PiecesOut(
                pieces=_out(rack.search(tenant, Search(state=PieceState.RESERVED, job=chain, limit=1_000_000)))
            )
        except (BusyError, PartFailedError) as error:
            return problem(HTTPStatus.SERVICE_UNAVAILABLE, str(error), kind="busy", headers={"Retry-After": "5"})
        except RackError as error:
            return _refused(error)

    @routes.delete("/reservations/{job}", response_model=PiecesOut)
    def release_pieces(job: JobName, tenant: Tenant) -> Any:
        """Free what a job has reserved; a job of this service that is cancelled or fails needs no such call.

        What it leaves over is expected no more, but for leftovers of what is cut already.
        """
        try:
            return PiecesOut(pieces=_out(after.give_back(tenant, job)))
        except UnknownJobError:
            return PiecesOut(pieces=_out(rack.release(tenant, job)))
        except (BusyError, PartFailedError) as error:
            return problem(HTTPStatus.SERVICE_UNAVAILABLE, str(error), kind="busy", headers={"Retry-After": "5"})

    @routes.post("/reservations/{job}/used", response_model=PiecesOut)
    def note_pieces_used(job: JobName, tenant: Tenant) -> Any:
        """Note that a job has cut what it reserved."""
        return PiecesOut(pieces=_out(rack.use(tenant, job)))


def _rule_routes(routes: APIRouter, rack: Rack) -> None:
    @routes.get("/rules", response_model=RulesBody)
    def show_rules(tenant: Tenant) -> Any:
        """Get what the rack keeps."""
        return _rules_body(rack.rules(tenant))

    @routes.put("/rules", response_model=RulesBody)
    def set_rules(body: RulesBody, tenant: Tenant) -> Any:
        """Say what the rack keeps; what lies on it already stays until it is scrapped."""
        try:
            said = {
                name: rack_length(value) if isinstance(value, str) else value
                for name, value in body.model_dump().items()
            }
            rules = replace(RackRules(), **said)
        except RecordError as error:
            return _refused(error)
        rack.set_rules(tenant, rules)
        return _rules_body(rules)


def _rules_body(rules: RackRules) -> RulesBody:
    fields = asdict(rules)
    lengths = ("least_stick", "least_mesh_width", "least_mesh_length")
    return RulesBody(**fields | {name: f"{length_text(fields[name], Unit.INCH)} in" for name in lengths})


def _refused(error: RackError | RecordError) -> Response:
    status, kind = _STATUS.get(type(error), (HTTPStatus.UNPROCESSABLE_ENTITY, ""))
    return problem(status, str(error), kind=kind)


def _out(pieces: Sequence[RackPiece]) -> list[PieceOut]:
    now = time.time()
    return [
        PieceOut(
            id=piece.id,
            state=piece.state.value,
            profile=piece.profile,
            colour=piece.colour,
            mesh=piece.mesh,
            width_mm=float(mm_number(piece.width)),
            length_mm=float(mm_number(piece.length)),
            length_tape=length_text(piece.length, Unit.INCH),
            both_ends_clean=piece.both_ends_clean,
            place=piece.place,
            source=piece.source,
            label=piece.label,
            job=piece.job,
            days=days_old(piece, now),
        )
        for piece in pieces
    ]
