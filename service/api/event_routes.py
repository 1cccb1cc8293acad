"""Follow a job as a stream of events; a convenience beside asking with the ETag."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import suppress
from http import HTTPStatus
from typing import Annotated

from fastapi import APIRouter, Depends, Header
from fastapi.sse import EventSourceResponse, ServerSentEvent
from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException

from service.api.job_routes import JobId, Tenant
from service.api.office import Office
from service.api.problems import described
from service.api.schemas import JobOut, job_out
from service.api.watch import Watch
from service.errors import UnknownJobError
from service.jobs.desk import JobView
from service.jobs.records import Job, JobState

LastEvent = Annotated[str | None, Header(description="The id of the last event heard.", max_length=40)]


def event_routes(office: Office) -> APIRouter:
    """Return the route that streams a job's changes."""
    routes = APIRouter(tags=["jobs"])
    watch = Watch(office.desk)

    def can_follow(job_id: JobId, tenant: Tenant, last_event_id: LastEvent = None) -> None:
        if watch.full:
            headers = {"Retry-After": "30"}
            raise HTTPException(HTTPStatus.SERVICE_UNAVAILABLE, "too many follow jobs; ask with the ETag", headers)
        job = office.desk.job(tenant, job_id)
        if last_event_id == str(job.version) and _at_rest(job):
            # A browser that hears this asks no more (HTML standard, server-sent events).
            raise HTTPException(HTTPStatus.NO_CONTENT)

    @routes.get(
        "/jobs/{job_id}/events",
        response_class=EventSourceResponse,
        responses={204: {"description": "Nothing more will change."}, **described(404, 503)},
        dependencies=[Depends(can_follow)],
    )
    async def follow_a_job(
        job_id: JobId, tenant: Tenant, last_event_id: LastEvent = None
    ) -> AsyncIterator[ServerSentEvent]:
        """Follow a job: an event ``job`` with the job as it stands, now and after every change, until it has ended.

        Who comes back with ``Last-Event-ID`` hears what has changed since, and 204 when nothing will any more.
        """
        with suppress(UnknownJobError):
            view = await run_in_threadpool(office.desk.view, tenant, job_id)
            if last_event_id != str(view.job.version):
                yield _event(view)
            if _at_rest(view.job):
                return
            async for _ in watch.versions(job_id, view.job.version):
                view = await run_in_threadpool(office.desk.view, tenant, job_id)
                yield _event(view)
                if _at_rest(view.job):
                    return

    return routes


def _event(view: JobView) -> ServerSentEvent:
    shown: JobOut = job_out(view)
    return ServerSentEvent(event="job", id=str(view.job.version), raw_data=shown.model_dump_json(), retry=2_000)


def _at_rest(job: Job) -> bool:
    return job.state.ended or job.state is JobState.WAITING
