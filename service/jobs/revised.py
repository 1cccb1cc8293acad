"""Revisions among the jobs: a finished job of its own, made from a finished one."""

from __future__ import annotations

import secrets
from collections.abc import Sequence
from dataclasses import replace

from service.jobs.records import Attachment, Job, JobState
from service.jobs.store import JobStore, Ledger


class RevisedJobs:
    """Notes revisions; what it returned has been committed."""

    def __init__(self, store: JobStore) -> None:
        self._store = store

    def add(self, parent: Job, number: int, problem: str, documents: Sequence[Attachment]) -> Job:
        """Add the next revision of a job, done already, with its documents; ``problem`` is a digest of the files."""

        def work(ledger: Ledger) -> Job:
            now = ledger.now()
            name = parent.name.partition(", revision ")[0]
            job = replace(
                parent,
                id=secrets.token_hex(12),
                name=f"{name[:170]}, revision {number}",
                created=now,
                changed=now,
                state=JobState.DONE,
                version=1,
                findings=(),
                trouble="",
                problem=problem,
                documents=tuple(documents),
            )
            ledger.add_job(job)
            return job

        return self._store.change(work)
