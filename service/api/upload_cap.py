"""Refuses bodies over a size: by their announced length at once, by their real length as they arrive."""

from __future__ import annotations

from http import HTTPStatus

from starlette.datastructures import Headers
from starlette.exceptions import HTTPException
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from service.api.problems import problem


class UploadCap:
    """Middleware; ``most`` is in bytes, form overhead included.

    Forms and jobs go to disk as they arrive. Every other body is held in memory
    and read at one go while everybody waits, so it may have ``most_held`` alone.
    """

    def __init__(self, app: ASGIApp, most: int, most_held: int = 4 << 20) -> None:
        self.app = app
        self.most = most
        self.most_held = min(most, most_held)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass a request on, as long as its body is small enough."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        headers = Headers(scope=scope)
        to_disk = scope["path"] == "/jobs" or headers.get("content-type", "").startswith("multipart/form-data")
        most = self.most if to_disk else self.most_held
        detail = f"a request may have {most >> 20} MB; split the job into smaller ones"
        announced = headers.get("content-length", "")
        if announced.isdecimal() and int(announced) > most:
            too_large = problem(HTTPStatus.REQUEST_ENTITY_TOO_LARGE, detail, headers={"Connection": "close"})
            await too_large(scope, receive, send)
            return
        received = 0

        async def counted() -> Message:
            nonlocal received
            message = await receive()
            received += len(message.get("body", b""))
            if received > most:
                raise HTTPException(HTTPStatus.REQUEST_ENTITY_TOO_LARGE, detail, headers={"Connection": "close"})
            return message

        await self.app(scope, counted, send)
