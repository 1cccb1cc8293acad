"""Who may ask: by API key, or from this machine alone; at what pace; and a log of who asked what."""

from __future__ import annotations

import ipaddress
import secrets
import time
from collections.abc import Collection
from dataclasses import dataclass
from http import HTTPStatus
from http.cookies import CookieError, SimpleCookie
from urllib.parse import urlsplit

import structlog
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import Headers
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from service.api.office import TENANT
from service.api.pace import Pace
from service.api.problems import problem
from service.errors import StoreDownError
from service.jobs.keys import KeyRing
from service.measures import Measures

KEY_COOKIE = "screenbatch-key"
"""A browser that cannot send a bearer token may send the key in this cookie (set it SameSite=Strict, HttpOnly)."""

_AUDIT = structlog.get_logger("audit")
OPEN_PATHS = {"/health/live", "/health/ready", "/openapi.json", "/schemas/plan.json", "/schemas/job.json", "/key"}
"""Paths that need no key."""
_METHODS = {"DELETE", "GET", "HEAD", "OPTIONS", "PATCH", "POST", "PUT"}
_OPEN_FOLDER = "/static/"


def is_loopback(host: str) -> bool:
    """Return whether an address can be reached from this machine alone.

    Examples
    --------
    >>> is_loopback("127.0.0.1"), is_loopback("::1"), is_loopback("localhost"), is_loopback("0.0.0.0")
    (True, True, True, False)
    """
    if host == "localhost":
        return True
    try:
        return ipaddress.ip_address(host.strip("[]")).is_loopback
    except ValueError:
        return False


@dataclass(frozen=True, kw_only=True, slots=True)
class Door:
    """What decides who passes: keys, whether one is needed, host names of this machine, pace; and what counts."""

    keys: KeyRing
    keys_needed: bool
    hosts: Collection[str]
    pace: Pace
    measures: Measures


@dataclass(frozen=True, slots=True)
class _Caller:
    tenant: str
    key: str
    refusal: HTTPStatus | None = None
    why: str = ""


class Access:
    """Middleware that lets a request pass, with its tenant in the request's state, or answers it."""

    def __init__(self, app: ASGIApp, door: Door) -> None:
        self.app = app
        self._door = door
        self._hosts = {host.lower() for host in door.hosts}

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass a request on or refuse it, and log which."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        headers = Headers(scope=scope)
        address = scope["client"][0] if scope.get("client") else ""
        caller = await self._caller(scope, headers, address)
        status = HTTPStatus.INTERNAL_SERVER_ERROR.value
        started = time.monotonic()
        request_id = secrets.token_hex(8)

        async def noted(message: Message) -> None:
            nonlocal status
            if message["type"] == "http.response.start":
                status = message["status"]
                self._door.measures.answers.labels(_method(scope), status).observe(time.monotonic() - started)
                message["headers"] = [*message["headers"], (b"x-request-id", request_id.encode())]
            await send(message)

        with structlog.contextvars.bound_contextvars(request=request_id):
            try:
                if caller.refusal is not None:
                    await self._refuse(caller, scope, receive, noted)
                else:
                    scope.setdefault("state", {})["tenant"] = caller.tenant
                    await self.app(scope, receive, noted)
            finally:
                if not str(scope["path"]).startswith("/health/"):
                    _AUDIT.info(
                        "access",
                        method=scope["method"],
                        path=scope["path"],
                        status=status,
                        tenant=caller.tenant,
                        key=caller.key,
                        address=address,
                    )

    async def _caller(self, scope: Scope, headers: Headers, address: str) -> _Caller:
        path = str(scope["path"])
        if path.startswith("/health/"):
            return _Caller("", "")
        token = _token(headers)
        if token:
            try:
                key = await run_in_threadpool(self._door.keys.owner, token)
            except StoreDownError:
                why = "the job store cannot be reached just now; try again"
                return _Caller("", "", HTTPStatus.SERVICE_UNAVAILABLE, why)
            if key is not None:
                return self._paced(_Caller(key.tenant, key.id), f"tenant {key.tenant}")
            return self._paced(_Caller("", "", HTTPStatus.UNAUTHORIZED, "this key is wrong or revoked"), address)
        if self._door.keys_needed:
            if path in OPEN_PATHS or path.startswith(_OPEN_FOLDER):
                return self._paced(_Caller("", ""), address)
            why = "send an API key: Authorization: Bearer KEY"
            return self._paced(_Caller("", "", HTTPStatus.UNAUTHORIZED, why), address)
        return self._paced(self._neighbour(headers), address)

    def _neighbour(self, headers: Headers) -> _Caller:
        """Return the caller on loopback; a page of another site in the same machine's browser is none."""
        if urlsplit(f"//{headers.get('host', '')}").hostname not in self._hosts:
            return _Caller("", "", HTTPStatus.MISDIRECTED_REQUEST, "this service does not answer to that host name")
        origin = headers.get("origin")
        if origin is not None and urlsplit(origin).netloc != headers.get("host"):
            return _Caller("", "", HTTPStatus.FORBIDDEN, "pages of other sites may not use this service")
        return _Caller(TENANT, "")

    def _paced(self, caller: _Caller, bucket: str) -> _Caller:
        seconds = self._door.pace.wait(bucket)
        if seconds:
            return _Caller(caller.tenant, caller.key, HTTPStatus.TOO_MANY_REQUESTS, str(seconds))
        return caller

    @staticmethod
    async def _refuse(caller: _Caller, scope: Scope, receive: Receive, send: Send) -> None:
        assert caller.refusal is not None  # noqa: S101 - the caller of this method has looked
        headers, why = {}, caller.why
        match caller.refusal:
            case HTTPStatus.UNAUTHORIZED:
                headers["WWW-Authenticate"] = 'Bearer realm="screenbatch"'
            case HTTPStatus.TOO_MANY_REQUESTS:
                headers["Retry-After"], why = caller.why, "too many requests; slow down"
            case HTTPStatus.SERVICE_UNAVAILABLE:
                headers["Retry-After"] = "5"
        await problem(caller.refusal, why, headers=headers)(scope, receive, send)


def _method(scope: Scope) -> str:
    return scope["method"] if scope["method"] in _METHODS else "other"


def _token(headers: Headers) -> str:
    scheme, _, token = headers.get("authorization", "").partition(" ")
    if scheme.lower() == "bearer":
        return token.strip()
    try:
        cookie = SimpleCookie(headers.get("cookie", "")).get(KEY_COOKIE)
    except CookieError:
        return ""
    return cookie.value if cookie else ""
