"""After the plan, over HTTP: the next revision of a job, and questions about its plan.

All of it runs in a guarded child while the caller waits; ``seconds`` bounds it.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from http import HTTPStatus
from typing import Annotated, Any

from fastapi import APIRouter, Query, Response
from pydantic import BaseModel, ConfigDict, Field
from starlette.responses import JSONResponse

from service.api.job_routes import JobId, Tenant
from service.api.office import Office
from service.api.problems import WrongField, described, problem
from service.engine.after_plan import PROBLEM
from service.engine.asking import FINDINGS
from service.engine.bundle import pack, unpack
from service.engine.calls import MEBIBYTE, Answered, Call
from service.engine.engines import Engine
from service.engine.guard import never, unheard
from service.engine.side_by_side import failure_words
from service.errors import MoveError
from service.job_settings import JobSettings
from service.jobs.records import Attachment, Job
from service.jobs.revised import RevisedJobs
from service.record_json import from_json
from service.revisions.record import FILE_NAME
from service.sheets.findings import Finding

_SPARE_SECONDS = 60.0
_PLANS = 12
"""Groups and plans that one question may have to solve, for its deadline."""

Seconds = Annotated[float, Field(default=5.0, gt=0, le=60, description="Time limit for each group of pieces.")]
By = Annotated[str, Query(pattern="^(order|phase|building|floor|unit)$")]


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
    seconds: Seconds = 5.0


class RevisionOut(BaseModel):
    """The next revision: a job of its own, done, and its difference to the one before."""

    job: str
    difference: dict[str, Any]


class CuttingOrderIn(BaseModel):
    """When orders are due and how many may be open at once."""

    model_config = ConfigDict(
        extra="forbid", strict=True, json_schema_extra={"example": {"due": {"S-4101": "2026-12-01"}}}
    )

    due: dict[str, str] = Field(default_factory=dict, max_length=10_000)
    most_open: int = Field(default=1_000_000, ge=1)
    by: str = Field(default="order", pattern="^(order|phase|building|floor|unit)$")
    seconds: Seconds = 5.0


class WhatIfIn(BaseModel):
    """Choices by name; the words are those of ``screenbatch what-if``."""

    model_config = ConfigDict(
        extra="forbid", strict=True, json_schema_extra={"example": {"choices": {"turned": "turned"}}}
    )

    choices: dict[str, str] = Field(min_length=1, max_length=10)
    seconds: Seconds = 5.0


class EstimateIn(BaseModel):
    """How rough sizes and counts are."""

    model_config = ConfigDict(extra="forbid", strict=True)

    play: str = Field(default="1 in", max_length=40)
    count_per_mille: int = Field(default=50, ge=0, le=1_000)
    recuts_per_mille: int = Field(default=50, ge=0, le=1_000)
    seconds: Seconds = 5.0


@dataclass(frozen=True, kw_only=True, slots=True)
class Reviser:
    """What revisions need beside the office: where they are noted, where they run, and with how much memory."""

    jobs: RevisedJobs
    engine: Engine
    memory_mb: int


def revision_routes(office: Office, reviser: Reviser) -> APIRouter:
    """Return the routes for what comes after a plan."""
    routes = APIRouter(tags=["revisions"], responses=described(404, 409, 422, 503))
    ask = _Asking(office, reviser)
    _revision_routes(routes, office, reviser, ask)
    _question_routes(routes, ask)
    return routes


def _revision_routes(routes: APIRouter, office: Office, reviser: Reviser, ask: _Asking) -> None:
    @routes.post("/jobs/{job_id}/revisions", status_code=HTTPStatus.CREATED, response_model=RevisionOut)
    def plan_again(job_id: JobId, body: RevisionIn, tenant: Tenant) -> Any:
        """Plan again after cuts, miscuts, damage or changes: what is cut stays, the rest changes as it pays."""
        job = office.desk.job(tenant, job_id)
        more = {"events": json.dumps(body.events).encode(), "price": body.price_of_change.encode()}
        answer = ask.run("revise", job, more | {"job": job.id.encode()}, body.seconds)
        if isinstance(answer, Response):
            return answer
        digest = office.files.put(answer.pop(PROBLEM))
        documents = [
            Attachment(name=name, digest=office.files.put(content), size=len(content))
            for name, content in answer.items()
        ]
        difference = json.loads(answer["difference.json"])
        revised = reviser.jobs.add(job, difference["revision"], digest, documents)
        out = RevisionOut(job=revised.id, difference=difference)
        headers = {"Location": f"/jobs/{revised.id}"}
        return JSONResponse(out.model_dump(), status_code=HTTPStatus.CREATED, headers=headers)

    @routes.get("/jobs/{job_id}/difference", response_class=Response)
    def difference_to_the_revision_before(job_id: JobId, tenant: Tenant) -> Response:
        """Get what a revision cuts, buys, spares and prints anew."""
        job = office.desk.job(tenant, job_id)
        digest = next((d.digest for d in job.documents if d.name == "difference.json"), None)
        if digest is None:
            raise MoveError("this job is no revision of another")
        return Response(office.files.get(digest), media_type="application/json")


def _question_routes(routes: APIRouter, ask: _Asking) -> None:
    @routes.get("/jobs/{job_id}/shares", response_class=Response)
    def share_the_cost(job_id: JobId, tenant: Tenant, by: By = "order") -> Response:
        """Share the cost of a plan out to its orders, adding up to the cent."""
        return ask.question(tenant, job_id, {"kind": "shares", "by": by}, 1.0)

    @routes.get("/jobs/{job_id}/lost-label", response_class=Response)
    def find_a_lost_label(
        job_id: JobId,
        tenant: Tenant,
        length: Annotated[str, Query(max_length=40)],
        within: Annotated[str, Query(max_length=40)] = "1/32 in",
    ) -> Response:
        """Find the rails that a measured length may be, nearest first."""
        return ask.question(tenant, job_id, {"kind": "lost label", "length": length, "within": within}, 1.0)

    @routes.get("/jobs/{job_id}/phases", response_class=Response)
    def compare_phases(job_id: JobId, tenant: Tenant, by: By = "phase") -> Response:
        """Plan phase by phase beside the joint plan, with the price of the difference."""
        return ask.question(tenant, job_id, {"kind": "phases", "by": by}, 5.0)

    @routes.get("/jobs/{job_id}/substitutes", response_class=Response)
    def stand_in_for_stock(job_id: JobId, tenant: Tenant, stock: Annotated[str, Query(max_length=200)]) -> Response:
        """Say which openings some stock hits when it is out, and what stands in for it at what cost."""
        return ask.question(tenant, job_id, {"kind": "substitutes", "stock": stock}, 5.0)

    @routes.post("/jobs/{job_id}/cutting-order", response_class=Response)
    def order_the_cutting(job_id: JobId, body: CuttingOrderIn, tenant: Tenant) -> Response:
        """Say which stick is cut when, orders due first, few open at once."""
        return ask.question(tenant, job_id, {"kind": "cutting order", **_said(body)}, body.seconds)

    @routes.post("/jobs/{job_id}/what-if", response_class=Response)
    def compare_choices(job_id: JobId, body: WhatIfIn, tenant: Tenant) -> Response:
        """Compare plans over a few choices side by side, with money and waste."""
        return ask.question(tenant, job_id, {"kind": "what if", **_said(body)}, body.seconds)

    @routes.post("/jobs/{job_id}/estimate", response_class=Response)
    def give_a_budget(job_id: JobId, body: EstimateIn, tenant: Tenant) -> Response:
        """Give a budget with a range, taking the job's sizes for rough guesses."""
        return ask.question(tenant, job_id, {"kind": "estimate", **_said(body)}, body.seconds)


def _said(body: BaseModel) -> dict[str, Any]:
    return body.model_dump(exclude={"seconds"})


class _Asking:
    """Runs what is asked of a plan in a guarded child."""

    def __init__(self, office: Office, reviser: Reviser) -> None:
        self._office = office
        self._reviser = reviser

    def question(self, tenant: str, job_id: str, question: Mapping[str, Any], seconds: float) -> Response:
        """Return the answer to a question as JSON, or why there is none."""
        job = self._office.desk.job(tenant, job_id)
        answer = self.run("answer", job, {"question": json.dumps(question).encode()}, seconds)
        if isinstance(answer, Response):
            return answer
        return Response(answer["answer"], media_type="application/json")

    def run(self, task: str, job: Job, more: Mapping[str, bytes], seconds: float) -> dict[str, bytes] | Response:
        """Return what a task answers, or the refusal to send."""
        digest = next((d.digest for d in job.documents if d.name == FILE_NAME), None)
        if digest is None:
            raise MoveError(f"the job is {job.state.value}; it can be revised once it has a plan")
        settings: JobSettings = job.settings.model_copy(update={"seconds": seconds})
        payload = {"settings": settings.model_dump_json().encode(), "revision": self._office.files.get(digest)}
        call = Call(
            task=f"service.engine.after_plan:{task}",
            payload=pack({**payload, **more}),
            seconds=seconds * _PLANS + _SPARE_SECONDS,
            memory=self._reviser.memory_mb * MEBIBYTE,
        )
        outcome = self._reviser.engine.run(call, never, unheard)
        if not isinstance(outcome, Answered):
            return problem(HTTPStatus.SERVICE_UNAVAILABLE, failure_words(outcome), kind="failed")
        answer = unpack(outcome.answer)
        if FINDINGS in answer:
            findings: tuple[Finding, ...] = from_json(tuple[Finding, ...], answer[FINDINGS])
            errors = [WrongField(where=finding.address, message=finding.message) for finding in findings[:100]]
            return problem(HTTPStatus.UNPROCESSABLE_ENTITY, "this cannot be done as it stands", errors=errors)
        return answer
