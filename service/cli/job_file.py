"""The job file that a command is given: a path, or ``-`` for standard input."""

from __future__ import annotations

import contextlib
import sys
import tempfile
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import Any

import click

from service.sheets.limits import MAX_FILE_BYTES


def job_argument(command: Callable[..., Any]) -> Callable[..., Any]:
    """Add the job files to a command, which gets their paths as ``jobs``; several are planned as one job."""
    path = click.Path(exists=True, dir_okay=False, allow_dash=True, path_type=Path)
    return click.argument("jobs", metavar="JOB...", nargs=-1, required=True, type=path)(command)


@contextlib.contextmanager
def job_paths(jobs: Sequence[Path]) -> Iterator[list[tuple[str, Path]]]:
    """Yield each job file's name and path; standard input is kept in a temporary file meanwhile."""
    with tempfile.TemporaryDirectory() as folder:
        paths = [(job.name, job) for job in jobs if str(job) != "-"]
        if len(paths) < len(jobs):
            # A megabyte more than any job has is enough for the reader to say so.
            content = sys.stdin.buffer.read(MAX_FILE_BYTES + 1_000_000)
            path = Path(folder) / f"job{_suffix(content)}"
            path.write_bytes(content)
            paths.insert(0, (path.name, path))
        yield paths


def _suffix(content: bytes) -> str:
    if content.startswith(b"PK"):
        return ".xlsx"
    return ".json" if content.lstrip()[:1] == b"{" else ".csv"
