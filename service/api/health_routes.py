"""Whether the service is alive, and whether it can work."""

from __future__ import annotations

from http import HTTPStatus

import anyio
from anyio.to_thread import run_sync
from fastapi import APIRouter, Response

from service.api.office import Office
from service.api.problems import described, problem
from service.api.schemas import Health
from service.measures import MEDIA_TYPE

_PATIENCE_SECONDS = 2.0
"""A store that takes longer is not there; who asks on threads of their own wait for nobody's requests."""


def health_routes(office: Office) -> APIRouter:
    """Return the routes that a supervisor asks."""
    routes = APIRouter(tags=["health"])
    askers = anyio.CapacityLimiter(4)

    @routes.get("/health/live")
    async def live() -> Health:
        """Say that the process answers; asks nobody else."""
        return Health(status="live")

    @routes.get("/health/ready", response_model=Health, responses=described(503))
    async def ready() -> Health | Response:
        """Say whether jobs can be taken in and worked on: store, files and workers."""
        wrong = "the job store does not answer"
        with anyio.move_on_after(_PATIENCE_SECONDS):
            wrong = await run_sync(office.unready, abandon_on_cancel=True, limiter=askers)
        if wrong:
            return problem(HTTPStatus.SERVICE_UNAVAILABLE, wrong, kind="not-ready", headers={"Retry-After": "5"})
        return Health(status="ready")

    @routes.get(
        "/metrics",
        response_class=Response,
        responses={200: {"description": "Measures.", "content": {"text/plain": {}}}, **described(503)},
    )
    def metrics() -> Response:
        """Get what the service measures of itself, for prometheus; nothing in it names a tenant or a job."""
        return Response(office.measures.page(), media_type=MEDIA_TYPE)

    return routes
