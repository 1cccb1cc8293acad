"""Keeps the lookup files of recently shown plans in a folder, fetched once from the file store."""

from __future__ import annotations

import os
import secrets
import shutil
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from service.deliverables import PAGE_LOOKUP
from service.documents.lookup.read import PlanLookup
from service.errors import MoveError, UnknownJobError
from service.jobs.files import FileStore
from service.jobs.records import Job


def has_plan(job: Job) -> bool:
    """Return whether a job's plan can be looked up: it is there before its papers are written."""
    return any(document.name == PAGE_LOOKUP.name for document in job.documents)


def planned(job: Job) -> Job:
    """Return the job.

    Raises
    ------
    MoveError
        If there is no plan yet to ask about or to revise.
    """
    if not has_plan(job):
        raise MoveError(f"the job is {job.state.value}; it can be asked about or revised once it has a plan")
    return job


class Shelf:
    """Lookup files by digest in ``folder``; beyond ``most_bytes`` those not used longest are let go."""

    def __init__(self, files: FileStore, folder: Path, *, most_bytes: int = 4 << 30) -> None:
        self._files = files
        self._folder = folder
        self._most_bytes = most_bytes
        folder.mkdir(parents=True, exist_ok=True)

    @contextmanager
    def lookup(self, job: Job) -> Iterator[PlanLookup]:
        """Open the lookup file of a job for the time of one request.

        Raises
        ------
        UnknownJobError
            If the job has no plan to look up.
        """
        digest = next((document.digest for document in job.documents if document.name == PAGE_LOOKUP.name), None)
        if digest is None:
            raise UnknownJobError("this job has no cut plan")
        opened = PlanLookup(self._path(digest))
        try:
            yield opened
        finally:
            opened.close()

    def _path(self, digest: str) -> Path:
        path = self._folder / f"{digest}.sqlite"
        try:
            os.utime(path)
        except FileNotFoundError:
            arriving = self._folder / f"{secrets.token_hex(8)}.arriving"
            with self._files.open(digest) as kept, arriving.open("xb") as copy:
                shutil.copyfileobj(kept, copy, 1 << 20)
            arriving.rename(path)
            self._let_go(path)
        return path

    def _let_go(self, newest: Path) -> None:
        """Remove what was not used longest; a file that is open just now stays readable until it is closed."""
        kept = sorted(self._folder.glob("*.sqlite"), key=lambda path: path.stat().st_mtime)
        over = sum(path.stat().st_size for path in kept) - self._most_bytes
        for path in kept:
            if over <= 0:
                return
            if path != newest:
                over -= path.stat().st_size
                with suppress(FileNotFoundError):
                    path.unlink()
