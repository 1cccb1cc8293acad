"""Whether the service is alive, and whether it can work."""

from __future__ import annotations

from http import HTTPStatus

from fastapi import APIRouter, Response

from service.api.office import Office
from service.api.problems import described, problem
from service.api.schemas import Health


def health_routes(office: Office) -> APIRouter:
    """Return the routes that a supervisor asks."""
    routes = APIRouter(tags=["health"])

    @routes.get("/health/live")
    async def live() -> Health:
        """Say that the process answers; asks nobody else."""
        return Health(status="live")

    @routes.get("/health/ready", response_model=Health, responses=described(503))
    def ready() -> Health | Response:
        """Say whether jobs can be taken in and worked on: store, files and workers."""
        wrong = office.unready()
        if wrong:
            return problem(HTTPStatus.SERVICE_UNAVAILABLE, wrong, kind="not-ready", headers={"Retry-After": "5"})
        return Health(status="ready")

    return routes
