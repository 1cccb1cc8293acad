"""Every error answer as problem details (RFC 9457): the same shape for a typing slip and a full disk."""

from __future__ import annotations

import errno
from http import HTTPStatus
from typing import Any

import structlog
from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from pydantic import BaseModel, Field
from starlette.exceptions import HTTPException
from starlette.requests import ClientDisconnect
from starlette.responses import JSONResponse, Response
from starlette.routing import Match
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from service.errors import (
    JobError,
    KeyReusedError,
    MoveError,
    QueueFullError,
    StaleClaimError,
    StoreDownError,
    TooManyHooksError,
    UnknownHookError,
    UnknownJobError,
    UnstorableError,
)

MEDIA_TYPE = "application/problem+json"
_LOG = structlog.get_logger()
_FULL = {errno.ENOSPC, errno.EDQUOT, errno.EFBIG}

_STATUS_OF: dict[type[JobError], tuple[HTTPStatus, str]] = {
    UnknownJobError: (HTTPStatus.NOT_FOUND, "unknown-job"),
    MoveError: (HTTPStatus.CONFLICT, "state"),
    StaleClaimError: (HTTPStatus.CONFLICT, "state"),
    KeyReusedError: (HTTPStatus.UNPROCESSABLE_ENTITY, "key-reused"),
    UnknownHookError: (HTTPStatus.NOT_FOUND, "unknown-webhook"),
    TooManyHooksError: (HTTPStatus.CONFLICT, "too-many-webhooks"),
    QueueFullError: (HTTPStatus.TOO_MANY_REQUESTS, "queue-full"),
}


class WrongField(BaseModel):
    """One thing wrong with a request."""

    where: str = Field(description="Where in the request, such as settings.unit.")
    message: str


class ProblemDetails(BaseModel):
    """Problem details for HTTP APIs, RFC 9457."""

    type: str = Field(default="about:blank", examples=["urn:screenbatch:problem:state"])
    title: str = Field(examples=["Conflict"])
    status: int = Field(examples=[409])
    detail: str = Field(default="", examples=["the job is solving; its documents are there when it is done"])
    errors: list[WrongField] = Field(default_factory=list)


def problem(
    status: HTTPStatus,
    detail: str = "",
    *,
    kind: str = "",
    errors: list[WrongField] | None = None,
    headers: dict[str, str] | None = None,
) -> Response:
    """Return an answer with problem details."""
    details = ProblemDetails(
        type=f"urn:screenbatch:problem:{kind}" if kind else "about:blank",
        title=status.phrase,
        status=status.value,
        detail=detail,
        errors=errors or [],
    )
    return JSONResponse(
        {"type": details.type} | details.model_dump(exclude_defaults=True),
        status_code=status,
        media_type=MEDIA_TYPE,
        headers=headers,
    )


def described(*statuses: int) -> dict[int | str, dict[str, Any]]:
    """Return these error answers as FastAPI's OpenAPI wants them described."""
    content = {MEDIA_TYPE: {"schema": {"$ref": "#/components/schemas/ProblemDetails"}}}
    return {status: {"description": HTTPStatus(status).phrase, "content": content} for status in statuses}


def answer_with_problems(app: FastAPI) -> None:
    """Make an application answer every error with problem details."""
    app.add_exception_handler(HTTPException, _http_error)
    app.add_exception_handler(RequestValidationError, _invalid)
    app.add_exception_handler(JobError, _job_error)
    app.add_exception_handler(StoreDownError, _store_down)
    app.add_exception_handler(UnstorableError, _unstorable)


def _http_error(request: Request, error: Exception) -> Response:
    assert isinstance(error, HTTPException)  # noqa: S101 - registered for this type alone
    status = HTTPStatus(error.status_code)
    if status is HTTPStatus.NO_CONTENT:
        return Response(status_code=status)
    detail = "" if error.detail == status.phrase else str(error.detail)
    headers = dict(error.headers or {})
    if status is HTTPStatus.METHOD_NOT_ALLOWED:
        headers["Allow"] = ", ".join(_allowed(request))
    return problem(status, detail, headers=headers)


def _allowed(request: Request) -> list[str]:
    """Return every method that some route takes at this path; the framework names the first route's alone."""
    routes = request.app.router.routes
    return [
        method
        for method in ("DELETE", "GET", "PATCH", "POST", "PUT")
        if any(route.matches({**request.scope, "method": method})[0] is Match.FULL for route in routes)
    ]


def _invalid(request: Request, error: Exception) -> Response:
    del request
    assert isinstance(error, RequestValidationError)  # noqa: S101 - registered for this type alone
    return unprocessable(list(error.errors()))


def unprocessable(faults: list[Any]) -> Response:
    """Return the answer to a request whose fields are wrong, given pydantic's errors."""
    errors = [WrongField(where=".".join(str(step) for step in fault["loc"]), message=fault["msg"]) for fault in faults]
    return problem(HTTPStatus.UNPROCESSABLE_ENTITY, "the request cannot be used as it stands", errors=errors)


def _job_error(request: Request, error: Exception) -> Response:
    del request
    kinds = [found for kind, found in _STATUS_OF.items() if isinstance(error, kind)]
    status, kind = kinds[0]
    headers = {"Retry-After": "30"} if status is HTTPStatus.TOO_MANY_REQUESTS else None
    return problem(status, str(error), kind=kind, headers=headers)


def _store_down(request: Request, error: Exception) -> Response:
    _LOG.error("request failed: store down", path=request.url.path, why=str(error))
    return problem(
        HTTPStatus.SERVICE_UNAVAILABLE,
        "the job store cannot be reached just now; try again",
        kind="store-down",
        headers={"Retry-After": "5"},
    )


def _unstorable(request: Request, error: Exception) -> Response:
    _LOG.error("request failed: unstorable", path=request.url.path, why=str(error))
    return problem(HTTPStatus.UNPROCESSABLE_ENTITY, "the request holds a character or a number that cannot be kept")


class Defects:
    """Answers an error that nobody expected, and keeps the connection; what it was stands in the log alone."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass a request on and answer what goes wrong with it."""
        started = False

        async def noticed(message: Message) -> None:
            nonlocal started
            started = started or message["type"] == "http.response.start"
            await send(message)

        try:
            await self.app(scope, receive, noticed)
        except ClientDisconnect:
            # Who hung up in the middle of a request hears no answer.
            return
        except Exception as error:
            if started or scope["type"] != "http":
                raise
            await _defect(str(scope["path"]), error)(scope, receive, send)


def _defect(path: str, error: Exception) -> Response:
    if isinstance(error, OSError):
        _LOG.error("request failed: files", path=path, why=str(error))
        if error.errno in _FULL:
            return problem(
                HTTPStatus.INSUFFICIENT_STORAGE, "the upload could not be kept; try again later", kind="storage"
            )
        return problem(
            HTTPStatus.SERVICE_UNAVAILABLE,
            "the files of jobs cannot be reached just now; try again",
            kind="files-down",
            headers={"Retry-After": "5"},
        )
    _LOG.error("request failed", path=path, exc_info=error)
    return problem(HTTPStatus.INTERNAL_SERVER_ERROR, "a fault of the service; report it if it stays")
