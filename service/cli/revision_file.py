"""The revision a command is given: its file, or the folder of a plan."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import click

from service.errors import SheetError
from service.revisions.record import read_revision, revision_path
from solver.revision.record import Revision


def revision_argument(command: Callable[..., Any]) -> Callable[..., Any]:
    """Add the revision to a command, which gets its path as ``revision``."""
    path = click.Path(exists=True, path_type=Path)
    return click.argument("revision", metavar="PLAN", type=path)(command)


def opened_revision(path: Path) -> tuple[Revision, list[str]]:
    """Return the revision at a path with its history; a plan's folder stands for the file in it."""
    file = revision_path(path)
    try:
        return read_revision(file.read_bytes(), file.name)
    except SheetError as error:
        raise click.UsageError(str(error)) from error
    except OSError as error:
        raise click.UsageError(f"{file} cannot be read: {error.strerror}") from error
