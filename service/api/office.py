"""What the routes work with; put together by ``bootstrap`` alone."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from fastapi import Request

from service.jobs.desk import Desk
from service.jobs.files import FileStore
from service.jobs.hooks import HookDesk
from service.measures import Measures

TENANT = "local"
"""The only tenant of a service without keys."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Office:
    """The desk, the files, and two calls: there is work, and are we able to work.

    ``unready`` returns what is wrong in a few words, empty if all is well.
    """

    desk: Desk
    files: FileStore
    hooks: HookDesk
    private_hooks: bool
    wake: Callable[[], None]
    unready: Callable[[], str]
    upload_bytes: int
    measures: Measures


def tenant_of(request: Request) -> str:
    """Return the tenant that a request speaks for."""
    return str(getattr(request.state, "tenant", TENANT))
