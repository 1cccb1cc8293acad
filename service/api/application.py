"""The web application: routes, error answers, limits and headers."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import AbstractAsyncContextManager
from importlib.metadata import version
from typing import Any

from fastapi import FastAPI
from fastapi.openapi.utils import get_openapi
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from service.api.access import OPEN_PATHS, Access, Door
from service.api.document_routes import document_routes
from service.api.event_routes import event_routes
from service.api.health_routes import health_routes
from service.api.hook_routes import hook_routes
from service.api.job_routes import job_routes
from service.api.office import Office
from service.api.problems import Defects, ProblemDetails, answer_with_problems, described
from service.api.upload_cap import UploadCap
from service.job_json import JobDocument
from service.job_settings import JobSettings

_FORM_OVERHEAD = 1 << 20
_SECURITY_HEADERS = {
    b"x-content-type-options": b"nosniff",
    b"x-frame-options": b"DENY",
    b"referrer-policy": b"no-referrer",
    b"content-security-policy": b"default-src 'self'; frame-ancestors 'none'",
}
_DESCRIPTION = """From a spreadsheet of window openings to a checked, cheapest-to-buy cut plan for insect screens.

Hand a job file in with `POST /jobs`, look at it with `GET /jobs/{id}` until its state is `done`, and fetch its
documents. Errors are problem details (RFC 9457)."""


def application(
    office: Office, door: Door, lifespan: Callable[[FastAPI], AbstractAsyncContextManager[None]]
) -> FastAPI:
    """Return the application around an office, behind a door."""
    app = FastAPI(
        title="screenbatch",
        version=version("screenbatch"),
        description=_DESCRIPTION,
        lifespan=lifespan,
        redoc_url=None,
        docs_url=None,
    )
    answer_with_problems(app)
    for routes in (
        job_routes(office),
        event_routes(office),
        hook_routes(office),
        document_routes(office),
        health_routes(office),
    ):
        app.include_router(routes)
    app.add_middleware(UploadCap, most=office.upload_bytes + _FORM_OVERHEAD)
    app.add_middleware(Access, door=door)
    app.add_middleware(Defects)
    app.add_middleware(_SecurityHeaders)
    app.openapi = lambda: _openapi(app, keys_needed=door.keys_needed)  # type: ignore[method-assign]
    return app


def _openapi(app: FastAPI, *, keys_needed: bool) -> dict[str, Any]:
    """Return the OpenAPI document, with what holds for every route and the records that only bodies mention."""
    if app.openapi_schema is None:
        document = get_openapi(title=app.title, version=app.version, description=app.description, routes=app.routes)
        everywhere = {
            str(status): answer for status, answer in described(*((401, 429) if keys_needed else (429,))).items()
        }
        for path, operations in document["paths"].items():
            for operation in operations.values():
                if path in OPEN_PATHS:
                    operation["security"] = []
                else:
                    operation["responses"] = everywhere | operation["responses"]
                if "requestBody" in operation:
                    operation["responses"] |= {"400": described(400)[400]}
                if "422" in operation["responses"]:
                    operation["responses"]["422"] = described(422)[422]
        schemas = document.setdefault("components", {}).setdefault("schemas", {})
        if keys_needed:
            document["components"]["securitySchemes"] = {"key": {"type": "http", "scheme": "bearer"}}
            document["security"] = [{"key": []}]
        for model in (ProblemDetails, JobSettings, JobDocument):
            schema = model.model_json_schema(ref_template="#/components/schemas/{model}")
            schemas |= schema.pop("$defs", {})
            schemas[model.__name__] = schema
        for unused in ("HTTPValidationError", "ValidationError"):
            schemas.pop(unused, None)
        app.openapi_schema = document
    return app.openapi_schema


class _SecurityHeaders:
    """Adds to every answer the headers that keep a browser from doing more with it than shown."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        async def with_headers(message: Message) -> None:
            if message["type"] == "http.response.start":
                present = {name.lower() for name, _ in message["headers"]}
                added = [(name, value) for name, value in _SECURITY_HEADERS.items() if name not in present]
                message["headers"] = [*message["headers"], *added]
            await send(message)

        await self.app(scope, receive, with_headers if scope["type"] == "http" else send)
