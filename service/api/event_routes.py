"""Follow a job as a stream of events; a convenience beside asking with the ETag."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import suppress
from http import HTTPStatus

from fastapi import APIRouter, Depends
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
from service.jobs.records import JobState


def event_routes(office: Office) -> APIRouter:
    """Return the route that streams a job's changes."""
    routes = APIRouter(tags=["jobs"])
    watch = Watch(office.desk)

    def can_follow(job_id: JobId, tenant: Tenant) -> None:
        if watch.full:
            headers = {"Retry-After": "30"}
            raise HTTPException(HTTPStatus.SERVICE_UNAVAILABLE, "too many follow jobs; ask with the ETag", headers)
        office.desk.job(tenant, job_id)

    @routes.get(
        "/jobs/{job_id}/events",
        response_class=EventSourceResponse,
        responses=described(404, 503),
        dependencies=[Depends(can_follow)],
    )
    async def follow_a_job(job_id: JobId, tenant: Tenant) -> AsyncIterator[ServerSentEvent]:
        """Follow a job: an event ``job`` with the job as it stands, now and after every change, until it has ended."""
        with suppress(UnknownJobError):
            view = await run_in_threadpool(office.desk.view, tenant, job_id)
            yield _event(view)
            if _at_rest(view):
                return
            async for _ in watch.versions(job_id, view.job.version):
                view = await run_in_threadpool(office.desk.view, tenant, job_id)
                yield _event(view)
                if _at_rest(view):
                    return

    return routes


def _event(view: JobView) -> ServerSentEvent:
    shown: JobOut = job_out(view)
    return ServerSentEvent(event="job", id=str(view.job.version), raw_data=shown.model_dump_json(), retry=2_000)


def _at_rest(view: JobView) -> bool:
    return view.job.state.ended or view.job.state is JobState.WAITING
