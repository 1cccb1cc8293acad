"""Where a browser hands in its access key, and the way there for one that has none."""

from __future__ import annotations

from http import HTTPStatus

from fastapi import APIRouter, Request, Response
from starlette.datastructures import Headers
from starlette.requests import cookie_parser
from starlette.responses import RedirectResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from service.api.access import KEY_COOKIE
from service.web.page_route import PageRoute
from service.web.rendering import page

_LONGEST_KEY = 200


def key_page() -> APIRouter:
    """Return the routes that take an access key into a cookie, and out of it again."""
    routes = APIRouter(route_class=PageRoute, include_in_schema=False)

    @routes.get("/key")
    def ask_for_the_key(request: Request) -> Response:
        return page("key.html", refused="refused" in request.query_params, keyed=KEY_COOKIE in request.cookies)

    @routes.post("/key")
    async def take_the_key(request: Request) -> Response:
        async with request.form(max_fields=2, max_part_size=_LONGEST_KEY * 4) as sent:
            key = sent.get("key")
        answer = RedirectResponse("/", status_code=HTTPStatus.SEE_OTHER)
        if isinstance(key, str) and key.strip().isascii() and 0 < len(key.strip()) <= _LONGEST_KEY:
            secure = request.url.scheme == "https"
            answer.set_cookie(KEY_COOKIE, key.strip(), httponly=True, samesite="strict", secure=secure)
        else:
            _forget_the_key(answer)
        return answer

    return routes


class WayToTheKeyPage:
    """Middleware that leads a person whose browser has no valid key to where one is handed in.

    A key that was refused is forgotten on the way: it would be refused there too.
    """

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass a request on; turn the refusal of a page into the way to the key page."""
        if scope["type"] != "http" or not _wants_a_page(scope):
            await self.app(scope, receive, send)
            return
        refused = False

        async def led(message: Message) -> None:
            nonlocal refused
            if message["type"] == "http.response.start" and message["status"] == HTTPStatus.UNAUTHORIZED:
                refused = True
                await _way(Headers(scope=scope))(scope, receive, send)
            elif not refused:
                await send(message)

        await self.app(scope, receive, led)


def _way(headers: Headers) -> Response:
    if KEY_COOKIE not in cookie_parser(headers.get("cookie", "")):
        return RedirectResponse("/key", status_code=HTTPStatus.SEE_OTHER)
    way = RedirectResponse("/key?refused", status_code=HTTPStatus.SEE_OTHER)
    _forget_the_key(way)
    return way


def _forget_the_key(answer: Response) -> None:
    answer.delete_cookie(KEY_COOKIE, httponly=True, samesite="strict")


def _wants_a_page(scope: Scope) -> bool:
    page_path = scope["path"] in {"/", "/key"} or str(scope["path"]).startswith("/page/")
    return page_path and "text/html" in Headers(scope=scope).get("accept", "")
