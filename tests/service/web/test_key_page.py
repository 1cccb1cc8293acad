"""A browser that needs an access key is led to where it is handed in, and a wrong one is said to be wrong."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from httpx import Client
from starlette.datastructures import Headers
from starlette.requests import cookie_parser
from starlette.responses import Response
from starlette.types import ASGIApp, Receive, Scope, Send

from service.api.access import KEY_COOKIE
from service.web.key_page import WayToTheKeyPage
from tests.service.web.office_in_memory import OfficeInMemory, browser

PAGE = {"Accept": "text/html,application/xhtml+xml"}
KEYS = {"sb_good": "shop"}


class Door:
    """Lets in who has a good key, as the service's own door does."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        key = cookie_parser(Headers(scope=scope).get("cookie", "")).get(KEY_COOKIE) if scope["type"] == "http" else ""
        if key in KEYS or (key is None and scope["path"] == "/key") or scope["type"] != "http":
            scope.setdefault("state", {})["tenant"] = KEYS.get(key or "", "")
            await self.app(scope, receive, send)
        else:
            await Response(status_code=401)(scope, receive, send)


@pytest.fixture
def office(tmp_path: Path) -> OfficeInMemory:
    return OfficeInMemory(tmp_path)


@pytest.fixture
def locked(office: OfficeInMemory) -> Iterator[Client]:
    app = office.pages()
    app.add_middleware(Door)
    app.add_middleware(WayToTheKeyPage)
    with browser(app) as client:
        yield client


def test_a_page_without_a_key_leads_to_the_key_page(locked: Client) -> None:
    led = locked.get("/page/jobs", headers=PAGE)
    assert (led.status_code, led.headers["location"]) == (303, "/key")
    assert "asks who you are" in locked.get("/key", headers=PAGE).text


def test_a_program_without_a_key_is_refused_as_it_expects(locked: Client) -> None:
    for path, accept in (("/jobs", PAGE), ("/page/jobs", {"Accept": "*/*"})):
        assert locked.get(path, headers=accept).status_code == 401


def test_a_key_handed_in_opens_the_pages_and_can_be_forgotten(locked: Client) -> None:
    taken = locked.post("/key", data={"key": " sb_good "})
    assert (taken.status_code, taken.headers["location"]) == (303, "/")
    cookie = taken.headers["set-cookie"].lower()
    assert "httponly" in cookie
    assert "samesite=strict" in cookie
    assert "Use another access key" in locked.get("/page/jobs", headers=PAGE).text
    locked.post("/key", data={})
    assert locked.get("/page/jobs", headers=PAGE).status_code == 303


@pytest.mark.parametrize("key", ["sb_wrong", "schlüssel", "x" * 500])
def test_a_wrong_key_does_not_open_the_pages(locked: Client, key: str) -> None:
    locked.post("/key", data={"key": key})
    assert locked.get("/", headers=PAGE).status_code == 303


def test_a_key_that_was_refused_is_said_to_be_wrong_and_forgotten(locked: Client) -> None:
    locked.post("/key", data={"key": "sb_wrong"})
    led = locked.get("/", headers=PAGE)
    assert led.headers["location"] == "/key?refused"
    assert "This key is wrong, or it has been revoked." in locked.get("/key?refused", headers=PAGE).text
    assert not locked.cookies


def test_each_tenant_sees_its_own_jobs_alone(locked: Client, office: OfficeInMemory) -> None:
    office.job("Job of nobody else")
    locked.post("/key", data={"key": "sb_good"})
    assert "Job of nobody else" not in locked.get("/page/jobs", headers=PAGE).text
