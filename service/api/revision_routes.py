"""After the plan, over HTTP: the next revision of a job, and questions about its plan.

What needs a search is a job of its own: 202 with its address, and its document
``answer.json`` once it is done. Quick looks answer at once, a few at a time.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from http import HTTPStatus
from typing import Annotated, Any

from fastapi import APIRouter, Header, Query, Request, Response
from fastapi.exceptions import RequestValidationError
from pydantic import BaseModel, ConfigDict, Field, ValidationError
from starlette.concurrency import run_in_threadpool
from starlette.responses import JSONResponse

from service.api.after_plan import LONGEST_SECONDS, AfterPlan
from service.api.job_routes import JobId, Tenant
from service.api.office import Office
from service.api.problems import WrongField, described, problem
from service.api.schemas import JobLine, JobOut, job_line, job_out
from service.deliverables import PDF
from service.errors import BusyError, MoveError, PartFailedError, RefusedError
from service.job_json import JobDocument
from service.job_settings import JobSettings
from service.jobs.records import Attachment, Job

Seconds = Annotated[
    float | None, Field(default=None, gt=0, le=LONGEST_SECONDS, description="Time limit; the job's own if left out.")
]
Code = Annotated[str, Field(min_length=1, max_length=60)]
By = Annotated[str, Query(pattern="^(order|phase|building|floor|unit)$")]
ByWord = Annotated[str, Field(default="phase", pattern="^(order|phase|building|floor|unit)$")]


class RevisionIn(BaseModel):
    """What happened since a job was planned. The keys of an event are the columns of the sheet of events."""

    model_config = ConfigDict(
        extra="forbid",
        strict=True,
        json_schema_extra={
            "example": {
                "events": [
                    {"event": "stick cut", "number": 1},
                    {"event": "miscut", "opening": "A-101", "place": "left", "length": "45 1/2"},
                ]
            }
        },
    )

    events: list[dict[str, str | int | float | None]] = Field(max_length=20_000)
    price_of_change: str = Field(default="0", max_length=20, description="What a changed stick or crosscut counts.")
    seconds: Seconds = None


class ChainOut(BaseModel):
    """The revisions of a job that hold, the first plan first; go on from the last one."""

    revisions: list[JobLine]


class PhasesIn(BaseModel):
    """What a phase is."""

    model_config = ConfigDict(extra="forbid", strict=True, json_schema_extra={"example": {"by": "phase"}})

    by: ByWord = "phase"
    seconds: Seconds = None


class StockOutIn(BaseModel):
    """Stock that cannot be had."""

    model_config = ConfigDict(extra="forbid", strict=True, json_schema_extra={"example": {"stock": "8 ft white"}})

    stock: str = Field(min_length=1, max_length=200)
    seconds: Seconds = None


class CuttingOrderIn(BaseModel):
    """When orders are due and how many may be open at once."""

    model_config = ConfigDict(
        extra="forbid", strict=True, json_schema_extra={"example": {"due": {"S-4101": "2026-12-01"}}}
    )

    due: dict[str, str] = Field(default_factory=dict, max_length=10_000)
    most_open: int = Field(default=1_000_000, ge=1)
    by: str = Field(default="order", pattern="^(order|phase|building|floor|unit)$")
    seconds: Seconds = None


class WhatIfIn(BaseModel):
    """Choices by name; the words are those of ``screenbatch what-if``."""

    model_config = ConfigDict(
        extra="forbid", strict=True, json_schema_extra={"example": {"choices": {"turned": "turned"}}}
    )

    choices: dict[str, str] = Field(min_length=1, max_length=10)
    seconds: Seconds = None


class TypeIn(BaseModel):
    """A type of opening with a rough size."""

    model_config = ConfigDict(extra="forbid", strict=True)

    label: str = Field(default="", max_length=200)
    count: int = Field(ge=1, le=1_000_000)
    width: str = Field(max_length=40)
    height: str = Field(max_length=40)


class EstimateIn(BaseModel):
    """How rough sizes and counts are."""

    model_config = ConfigDict(extra="forbid", strict=True)

    play: str = Field(default="1 in", max_length=40)
    count_per_mille: int = Field(default=50, ge=0, le=1_000)
    recuts_per_mille: int = Field(default=50, ge=0, le=1_000)
    types: list[TypeIn] = Field(
        default_factory=list,
        max_length=1_000,
        description="Types in place of the job's openings, made and bought as its first opening is.",
    )
    seconds: Seconds = None


class EstimateBeforeIn(EstimateIn):
    """A job with rough sizes and counts, and how rough they are."""

    job: JobDocument


def revision_routes(office: Office, after: AfterPlan) -> APIRouter:
    """Return the routes for what comes after a plan."""
    routes = APIRouter(tags=["revisions"], responses=described(404, 409, 422, 429, 503))
    _revision_routes(routes, office, after)
    _question_routes(routes, office, after)
    _quick_routes(routes, after)
    return routes


def _accepted(office: Office, job: Job) -> Response:
    office.wake()
    body = job_out(office.desk.view(job.tenant, job.id)).model_dump(mode="json")
    return JSONResponse(body, status_code=HTTPStatus.ACCEPTED, headers={"Location": f"/jobs/{job.id}"})


def _revision_routes(routes: APIRouter, office: Office, after: AfterPlan) -> None:
    @routes.post("/jobs/{job_id}/revisions", status_code=HTTPStatus.ACCEPTED, response_model=JobOut)
    def plan_again(
        job_id: JobId,
        body: RevisionIn,
        tenant: Tenant,
        idempotency_key: Annotated[str | None, Header(min_length=1, max_length=255)] = None,
    ) -> Any:
        """Plan again after cuts, miscuts, damage or changes: what is cut stays, the rest changes as it pays.

        The revision is a job of its own; its difference to the plan before is its document ``difference.json``.
        """
        job = after.revise(
            tenant, job_id, body.events, price=body.price_of_change, seconds=body.seconds, key=idempotency_key
        )
        return _accepted(office, job)

    @routes.get("/jobs/{job_id}/revisions")
    def list_revisions(job_id: JobId, tenant: Tenant) -> ChainOut:
        """List the revisions of a job that hold, the first plan first."""
        return ChainOut(revisions=[job_line(job) for job in after.chain(tenant, job_id)])

    @routes.post("/jobs/{job_id}/take-back", response_model=JobOut)
    def take_a_revision_back(job_id: JobId, tenant: Tenant) -> Any:
        """Take the latest revision back, such as after a wrong report; the answer is the plan that holds again."""
        return job_out(office.desk.view(tenant, after.take_back(tenant, job_id).id))

    @routes.get("/jobs/{job_id}/difference", response_class=Response)
    def difference_to_the_revision_before(job_id: JobId, tenant: Tenant) -> Response:
        """Get what a revision cuts, buys, spares and prints anew."""
        found = after.document(office.desk.job(tenant, job_id), "difference.json")
        if found is None:
            raise MoveError("this job is no revision of another, or not done yet")
        return Response(found, media_type="application/json")


def _question_routes(routes: APIRouter, office: Office, after: AfterPlan) -> None:
    def asked(tenant: str, job_id: str, name: str, body: BaseModel, kind: str) -> Response:
        seconds: float | None = getattr(body, "seconds", None)
        question = {"kind": kind, **body.model_dump(exclude={"seconds"})}
        return _accepted(office, after.ask(tenant, job_id, name, question, seconds))

    @routes.post("/jobs/{job_id}/phases", status_code=HTTPStatus.ACCEPTED, response_model=JobOut)
    def compare_phases(job_id: JobId, body: PhasesIn, tenant: Tenant) -> Any:
        """Plan phase by phase beside the joint plan, with the price of the difference."""
        return asked(tenant, job_id, "phase by phase", body, "phases")

    @routes.post("/jobs/{job_id}/substitutes", status_code=HTTPStatus.ACCEPTED, response_model=JobOut)
    def stand_in_for_stock(job_id: JobId, body: StockOutIn, tenant: Tenant) -> Any:
        """Say which openings some stock hits when it is out, and what stands in for it at what cost."""
        return asked(tenant, job_id, f"without {body.stock}", body, "substitutes")

    @routes.post("/jobs/{job_id}/cutting-order", status_code=HTTPStatus.ACCEPTED, response_model=JobOut)
    def order_the_cutting(job_id: JobId, body: CuttingOrderIn, tenant: Tenant) -> Any:
        """Say which stick is cut when, orders due first, few open at once, with sheets and labels in that order.

        Every stick and crosscut keeps its number, so what is reported as cut is meant the same.
        """
        return asked(tenant, job_id, "cutting order", body, "cutting order")

    @routes.post("/jobs/{job_id}/what-if", status_code=HTTPStatus.ACCEPTED, response_model=JobOut)
    def compare_choices(job_id: JobId, body: WhatIfIn, tenant: Tenant) -> Any:
        """Compare plans over a few choices side by side, with money and waste."""
        return asked(tenant, job_id, "what if", body, "what if")

    @routes.post("/jobs/{job_id}/estimate", status_code=HTTPStatus.ACCEPTED, response_model=JobOut)
    def give_a_budget(job_id: JobId, body: EstimateIn, tenant: Tenant) -> Any:
        """Give a budget with a range, taking the job's sizes for rough guesses."""
        return asked(tenant, job_id, "budget", body, "estimate")

    @routes.post("/estimates", status_code=HTTPStatus.ACCEPTED, response_model=JobOut)
    async def give_a_budget_before_measuring(request: Request, body: EstimateBeforeIn, tenant: Tenant) -> Any:
        """Give a budget with a range for a job of types and rough sizes that nobody has planned."""
        try:
            EstimateBeforeIn.model_validate_json(await request.body(), strict=True)
        except ValidationError as error:
            faults = [{**fault, "loc": ("body", *fault["loc"])} for fault in error.errors(include_url=False)]
            raise RequestValidationError(faults) from error
        return await run_in_threadpool(before_measuring, body, tenant)

    def before_measuring(body: EstimateBeforeIn, tenant: str) -> Response:
        content = body.job.model_dump_json(exclude_defaults=True).encode()
        upload = Attachment(name="job.json", digest=office.files.put(content), size=len(content))
        settings = JobSettings() if body.seconds is None else JobSettings(seconds=body.seconds)
        question = {"kind": "estimate", **body.model_dump(exclude={"seconds", "job"})}
        name = f"{body.job.settings.name or 'job'}, budget"
        return _accepted(office, after.ask_before(tenant, upload, name, question, settings))


def _quick_routes(routes: APIRouter, after: AfterPlan) -> None:
    @routes.get("/jobs/{job_id}/shares", response_class=Response)
    def share_the_cost(job_id: JobId, tenant: Tenant, by: By = "order", *, whole_chain: bool = False) -> Response:
        """Share the cost of a plan out to its orders, adding up to the cent.

        Of a revision that is what it buys beyond the plans before it; with
        ``whole_chain`` it is what all of them have bought, less what did not come.
        """
        question = {"kind": "shares", "by": by, "whole_chain": whole_chain}
        return _looked(lambda: after.look(tenant, job_id, question))

    @routes.get("/jobs/{job_id}/lost-label", response_class=Response)
    def find_a_lost_label(
        job_id: JobId,
        tenant: Tenant,
        length: Annotated[str, Query(max_length=40)],
        within: Annotated[str, Query(max_length=40)] = "1/32 in",
    ) -> Response:
        """Find the rails that a measured length may be, nearest first."""
        question: Mapping[str, Any] = {"kind": "lost label", "length": length, "within": within}
        return _looked(lambda: after.look(tenant, job_id, question))

    @routes.get(
        "/jobs/{job_id}/some-labels.pdf",
        response_class=Response,
        responses={200: {"content": {PDF: {"schema": {"type": "string", "format": "binary"}}}}},
    )
    def print_some_labels(
        job_id: JobId, tenant: Tenant, code: Annotated[list[Code], Query(min_length=1, max_length=1_000)]
    ) -> Response:
        """Get labels of some pieces, by their codes, to print again."""
        return _looked(lambda: after.labels(tenant, job_id, code), HTTPStatus.NOT_FOUND)


def _looked(look: Callable[[], Any], refusal: HTTPStatus = HTTPStatus.UNPROCESSABLE_ENTITY) -> Response:
    try:
        found = look()
    except RefusedError as error:
        errors = [WrongField(where=finding.address, message=finding.message) for finding in error.findings[:100]]
        return problem(refusal, "this cannot be done as it stands", errors=errors)
    except BusyError as error:
        return problem(HTTPStatus.SERVICE_UNAVAILABLE, str(error), kind="busy", headers={"Retry-After": "5"})
    except PartFailedError as error:
        return problem(HTTPStatus.SERVICE_UNAVAILABLE, str(error), kind="failed")
    return Response(found, media_type=PDF) if isinstance(found, bytes) else JSONResponse(found)
