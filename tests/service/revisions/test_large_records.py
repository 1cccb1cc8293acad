"""A revision is written piece by piece, and reads as if it had been written at once."""

from __future__ import annotations

import pytest

from service.revisions.pieces import record_pieces
from service.revisions.record import RevisionFile, read_revision, revision_bytes
from solver.revision.record import Revision
from tests.service.documents.made_plans import inch_job, kit_job, metric_job
from tests.speed.document_jobs import large_job


@pytest.mark.parametrize("job", [inch_job, kit_job, metric_job, lambda: large_job(700)])
def test_the_pieces_joined_are_the_whole_text(job) -> None:  # type: ignore[no-untyped-def]
    problem, plan = job()
    file = RevisionFile(number=0, problem=problem, plan=plan, history=["first"], highest={"a": 1})
    assert b"".join(record_pieces(file)).decode() == file.model_dump_json()


def test_no_piece_of_a_large_revision_is_large() -> None:
    problem, plan = large_job(3_000)
    file = RevisionFile(number=0, problem=problem, plan=plan)
    pieces = list(record_pieces(file))
    assert max(map(len, pieces)) < sum(map(len, pieces)) / 10


def test_a_revision_written_in_pieces_is_read_back() -> None:
    problem, plan = large_job(700)
    revision, _ = read_revision(revision_bytes(Revision(number=0, problem=problem, plan=plan)), "large")
    assert revision.problem == problem
    assert revision.plan == plan
