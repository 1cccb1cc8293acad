"""Jobs over HTTP: hand in, look, answer, cancel."""

from __future__ import annotations

from http import HTTPStatus
from typing import Annotated

from fastapi import APIRouter, Depends, Header, Path, Query, Request, Response
from starlette.concurrency import run_in_threadpool

from service.api.office import Office, tenant_of
from service.api.problems import described
from service.api.schemas import AnswersIn, JobOut, JobPage, StateWord, job_line, job_out
from service.api.uploads import UPLOAD_BODY, wish_of
from service.jobs.records import Job, JobState
from service.jobs.store import PageStart

Tenant = Annotated[str, Depends(tenant_of)]
JobId = Annotated[str, Path(max_length=32, description="Id of the job.", examples=["3f6c0c2a9d5b4e17a2c8d901"])]
_AFTER = r"^[0-9]{1,10}\.[0-9]{9}~[0-9a-f]{1,32}$"
_LOCATION = {"description": "Where the job is.", "schema": {"type": "string"}}


def job_routes(office: Office) -> APIRouter:
    """Return the routes that deal with jobs."""
    routes = APIRouter(tags=["jobs"])
    desk = office.desk

    @routes.post(
        "/jobs",
        status_code=HTTPStatus.ACCEPTED,
        response_model=JobOut,
        openapi_extra=UPLOAD_BODY,
        responses={202: {"headers": {"Location": _LOCATION}}, **described(400, 413, 415, 422, 429, 503, 507)},
    )
    async def hand_in_a_job(
        request: Request,
        response: Response,
        idempotency_key: Annotated[
            str | None,
            Header(
                min_length=1, max_length=255, description="The same key with the same request gives the same job, once."
            ),
        ] = None,
    ) -> JobOut:
        """Hand in a job file. The answer comes when the job is safely kept; it is planned afterwards."""
        del idempotency_key
        wish = await wish_of(request, office)
        job = await run_in_threadpool(desk.accept, wish)
        office.wake()
        response.headers["Location"] = f"/jobs/{job.id}"
        return job_out(await run_in_threadpool(desk.view, wish.tenant, job.id))

    @routes.get("/jobs", response_model_exclude_none=True, responses=described(422, 503))
    def list_jobs(
        tenant: Tenant,
        state: Annotated[StateWord | None, Query(description="Only jobs in this state.")] = None,
        limit: Annotated[int, Query(ge=1, le=200, description="Jobs a page.")] = 50,
        after: Annotated[str | None, Query(pattern=_AFTER, description="As given in ``next``.")] = None,
    ) -> JobPage:
        """List jobs, newest first."""
        wanted = None if state is None else JobState(state)
        jobs = desk.jobs(tenant, state=wanted, start=_page_start(after), limit=limit + 1)
        page = jobs[:limit]
        more = _next_page(page[-1], state, limit) if len(jobs) > limit else None
        return JobPage(jobs=[job_line(job) for job in page], next=more)

    @routes.get(
        "/jobs/{job_id}", response_model=JobOut, responses={304: {"description": "Not changed."}, **described(404, 503)}
    )
    def look_at_a_job(
        job_id: JobId,
        tenant: Tenant,
        response: Response,
        if_none_match: Annotated[str | None, Header(description="The ETag of the last answer.")] = None,
    ) -> JobOut | Response:
        """Look at a job. Ask again with the last ETag: while nothing changed the answer is an empty 304."""
        if if_none_match is not None:
            tag = entity_tag(desk.job(tenant, job_id))
            if matches(if_none_match, tag):
                return Response(status_code=HTTPStatus.NOT_MODIFIED, headers={"ETag": tag})
        view = desk.view(tenant, job_id)
        response.headers["ETag"] = entity_tag(view.job)
        response.headers["Cache-Control"] = "no-cache"
        return job_out(view)

    @routes.post(
        "/jobs/{job_id}/answers", status_code=HTTPStatus.ACCEPTED, responses=described(400, 404, 409, 422, 503)
    )
    def answer_questions(job_id: JobId, answers: AnswersIn, tenant: Tenant) -> JobOut:
        """Answer the open questions of a job that waits; it goes on with the answers."""
        desk.answer(tenant, job_id, answers.answers, accept_proposals=answers.accept_proposals)
        office.wake()
        return job_out(desk.view(tenant, job_id))

    @routes.delete("/jobs/{job_id}", responses=described(404, 409, 503))
    def cancel_a_job(job_id: JobId, tenant: Tenant) -> JobOut:
        """Cancel a job; what is being calculated for it stops within two seconds."""
        desk.cancel(tenant, job_id)
        return job_out(desk.view(tenant, job_id))

    return routes


def entity_tag(job: Job) -> str:
    """Return the entity tag of a job as it stands."""
    return f'"{job.id}.{job.version}"'


def matches(if_none_match: str, tag: str) -> bool:
    """Return whether a tag is among those a caller has already (RFC 9110, 13.1.2).

    Examples
    --------
    >>> matches('W/"a.1", "b.2"', '"b.2"'), matches("*", '"b.2"'), matches('"b.1"', '"b.2"')
    (True, True, False)
    """
    known = [known.strip().removeprefix("W/") for known in if_none_match.split(",")]
    return "*" in known or tag in known


def _next_page(last: Job, state: str | None, limit: int) -> str:
    after = f"{last.created:.9f}~{last.id}"
    return f"/jobs?limit={limit}&after={after}" + (f"&state={state}" if state else "")


def _page_start(after: str | None) -> PageStart | None:
    if after is None:
        return None
    created, _, job_id = after.partition("~")
    return PageStart(created=float(created), id=job_id)
