"""The job file that a command is given: a path, or ``-`` for standard input."""

from __future__ import annotations

import contextlib
import sys
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import click


def job_argument(command: Callable[..., Any]) -> Callable[..., Any]:
    """Add the job file to a command, which gets its path as ``job``."""
    path = click.Path(exists=True, dir_okay=False, allow_dash=True, path_type=Path)
    return click.argument("job", metavar="JOB", type=path)(command)


@contextlib.contextmanager
def job_path(job: Path) -> Iterator[Path]:
    """Yield the path of a job file; standard input is kept in a temporary file meanwhile."""
    if str(job) != "-":
        yield job
        return
    content = sys.stdin.buffer.read()
    suffix = ".xlsx" if content.startswith(b"PK") else ".csv"
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / f"job{suffix}"
        path.write_bytes(content)
        yield path
