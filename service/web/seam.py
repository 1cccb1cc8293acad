"""All that the pages need of the service around them."""

from __future__ import annotations

from collections.abc import Callable
from typing import Protocol

from service.jobs.desk import Desk
from service.jobs.files import FileStore


class PageOffice(Protocol):
    """A desk for jobs, the files of jobs, a call that there is work, and the largest upload in bytes."""

    @property
    def desk(self) -> Desk:
        """Takes jobs in, shows them, takes answers and cancels."""

    @property
    def files(self) -> FileStore:
        """Keeps uploads and documents."""

    @property
    def wake(self) -> Callable[[], None]:
        """Says that there is work."""

    @property
    def upload_bytes(self) -> int:
        """The largest upload taken in."""
