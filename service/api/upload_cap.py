"""Refuses bodies over a size: by their announced length at once, by their real length as they arrive."""

from __future__ import annotations

from http import HTTPStatus

from starlette.datastructures import Headers
from starlette.exceptions import HTTPException
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from service.api.problems import problem


class UploadCap:
    """Middleware; ``most`` is in bytes, form overhead included."""

    def __init__(self, app: ASGIApp, most: int) -> None:
        self.app = app
        self.most = most
        self.detail = f"a request may have {most >> 20} MB; split the job into smaller ones"

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass a request on, as long as its body is small enough."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        announced = Headers(scope=scope).get("content-length", "")
        if announced.isdecimal() and int(announced) > self.most:
            too_large = problem(HTTPStatus.REQUEST_ENTITY_TOO_LARGE, self.detail, headers={"Connection": "close"})
            await too_large(scope, receive, send)
            return
        received = 0

        async def counted() -> Message:
            nonlocal received
            message = await receive()
            received += len(message.get("body", b""))
            if received > self.most:
                raise HTTPException(HTTPStatus.REQUEST_ENTITY_TOO_LARGE, self.detail, headers={"Connection": "close"})
            return message

        await self.app(scope, counted, send)
