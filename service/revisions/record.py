"""A revision as a file: the exact problem and plan, from which the next revision is made."""

from __future__ import annotations

import gzip
import io
import zlib
from pathlib import Path

from pydantic import BaseModel, Field, ValidationError

from service.errors import SheetError
from service.revisions.pieces import record_pieces
from solver.plan import Plan
from solver.problem import Problem
from solver.revision.record import ChainPurchase, Revision

FILE_NAME = "revision.json.gz"
_MOST_BYTES = 1 << 30


class RevisionFile(BaseModel):
    """The file, JSON packed with gzip: which revision of the job, its history in words, and the exact records."""

    format: str = "screenbatch revision 1"
    number: int
    history: list[str] = Field(default_factory=list)
    begun: list[str] = Field(default_factory=list)
    struck: list[str] = Field(default_factory=list)
    highest: dict[str, int] = Field(default_factory=dict)
    bought_before: tuple[ChainPurchase, ...] | None = None
    problem: Problem
    plan: Plan


def revision_bytes(revision: Revision, history: list[str] | None = None) -> bytes:
    """Return a revision as the content of its file."""
    file = RevisionFile(
        number=revision.number,
        history=history or [],
        begun=list(revision.begun),
        struck=list(revision.struck),
        highest=dict(revision.highest),
        bought_before=revision.bought_before,
        problem=revision.problem,
        plan=revision.plan,
    )
    packed = io.BytesIO()
    # In pieces: the text of a hundred thousand openings is larger than all records it is made from.
    with gzip.GzipFile(filename="", fileobj=packed, mode="wb", compresslevel=6, mtime=0) as out:
        out.writelines(record_pieces(file))
    return packed.getvalue()


def write_first_revision(problem: Problem, plan: Plan, path: Path) -> None:
    """Write a first plan as revision 0."""
    path.write_bytes(revision_bytes(Revision(number=0, problem=problem, plan=plan)))


def read_revision(content: bytes, name: str) -> tuple[Revision, list[str]]:
    """Return the revision in a file and the words of its history.

    Raises
    ------
    SheetError
        If the content is no revision.
    """
    try:
        file = RevisionFile.model_validate_json(_unpacked(content))
    except (ValidationError, OSError, EOFError, zlib.error) as error:
        raise SheetError(f"{name}: this is no revision; take the {FILE_NAME} that stands beside a plan") from error
    revision = Revision(
        number=file.number,
        problem=file.problem,
        plan=file.plan,
        begun=tuple(file.begun),
        struck=tuple(file.struck),
        highest=tuple(file.highest.items()),
        bought_before=() if file.bought_before is None and not file.number else file.bought_before,
    )
    return revision, file.history


def _unpacked(content: bytes) -> bytes:
    """Unpack with a cap: a few kilobytes may claim to be gigabytes."""
    with gzip.GzipFile(fileobj=io.BytesIO(content)) as packed:
        text = packed.read(_MOST_BYTES + 1)
    if len(text) > _MOST_BYTES:
        raise OSError("unpacks to more than any revision holds")
    return text


def revision_path(path: Path) -> Path:
    """Return the revision's file: the path itself, or the one in a plan's folder."""
    return path / FILE_NAME if path.is_dir() else path
