"""What every page route has in common: errors become pages, and other sites cannot send our forms."""

from __future__ import annotations

from collections.abc import Callable, Coroutine
from http import HTTPStatus
from typing import Any
from urllib.parse import urlsplit

from fastapi import Request, Response
from fastapi.exceptions import RequestValidationError
from fastapi.routing import APIRoute
from starlette.exceptions import HTTPException

from service.errors import JobError, LookupFormatError, MoveError, QueueFullError, StoreDownError, UnknownJobError
from service.web.rendering import page

Handler = Callable[[Request], Coroutine[Any, Any, Response]]

_TOO_LARGE = "This file is larger than what is taken in here. Leave out pictures and sheets that are not needed."


class PageRoute(APIRoute):
    """A route whose errors a person reads: each one says what happened and where to go from there."""

    def get_route_handler(self) -> Handler:
        """Return the route's handler with its errors turned into pages."""
        handler = super().get_route_handler()

        async def page_or_apology(request: Request) -> Response:
            try:
                _same_site(request)
                return await handler(request)
            except UnknownJobError:
                return apology(HTTPStatus.NOT_FOUND, "This job is not here", "It may have been cleared away.")
            except MoveError as error:
                return apology(HTTPStatus.CONFLICT, "That came too late", f"{_sentence(error)} Look at the job again.")
            except QueueFullError as error:
                return apology(HTTPStatus.TOO_MANY_REQUESTS, "Too much is waiting already", _sentence(error))
            except JobError as error:
                return apology(HTTPStatus.CONFLICT, "That could not be done", _sentence(error))
            except LookupFormatError:
                heading = "This plan cannot be shown any more"
                return apology(
                    HTTPStatus.CONFLICT, heading, "Another version of this service made it. Plan its file again."
                )
            except StoreDownError:
                message = "The job store does not answer just now. Nothing is lost; try again in a moment."
                return apology(HTTPStatus.SERVICE_UNAVAILABLE, "Not just now", message)
            except RequestValidationError:
                return apology(HTTPStatus.NOT_FOUND, "There is no such page", "Check the address.")
            except HTTPException as error:
                status = HTTPStatus(error.status_code)
                message = _TOO_LARGE if status is HTTPStatus.REQUEST_ENTITY_TOO_LARGE else str(error.detail)
                return apology(status, status.phrase, message)

        return page_or_apology


def apology(status: HTTPStatus, heading: str, message: str) -> Response:
    """Return a page that says what went wrong."""
    return page("sorry.html", status, heading=heading, message=message)


def _same_site(request: Request) -> None:
    """Refuse a form that another site makes a browser send.

    References
    ----------
    W3C Fetch Metadata Request Headers, ``Sec-Fetch-Site``; RFC 6454, ``Origin``.
    """
    if request.method in {"GET", "HEAD"}:
        return
    site, origin = request.headers.get("sec-fetch-site"), request.headers.get("origin")
    foreign_origin = origin is not None and urlsplit(origin).netloc != request.headers.get("host", "")
    if foreign_origin or (site is not None and site not in {"same-origin", "none"}):
        raise HTTPException(HTTPStatus.FORBIDDEN, "This form was sent from another site.")


def _sentence(error: Exception) -> str:
    text = str(error)
    return f"{text[:1].upper()}{text[1:].rstrip('.')}."
