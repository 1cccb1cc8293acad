"""What must be done now and then: queue again what silent workers hold, forget what is older than its keeping time."""

from __future__ import annotations

import random
import time
from collections.abc import Callable, Sequence
from dataclasses import replace
from itertools import cycle, islice

from service.engine.asking import RACK
from service.jobs.bench import Bench
from service.jobs.files import FileStore
from service.jobs.hooks import KEPT_SECONDS, announce
from service.jobs.leftovers import Leftovers, NoLeftovers
from service.jobs.records import Job, JobKind, JobState
from service.jobs.store import JobStore, Ledger
from service.leftovers.settlement import Settlement
from service.record_json import from_json

_DAY_SECONDS = 86_400.0
_JOBS_AT_ONCE = 50
_FILES_AT_ONCE = 200
_UNSETTLED_SECONDS = 120.0
"""How long a promise may wait for its plan's commit and settlement, with the store out for a while."""
_FELL_THROUGH = (JobState.CANCELLED, JobState.FAILED)
_FILES_KEPT_SECONDS = 3_600.0
_FORGET_EVERY_SECONDS = 600.0
_FOLDERS_A_SWEEP = 16
"""Of 256: every file is looked at in some three hours, without holding up what must be queued again."""
_ROUNDS_A_SWEEP = 40
"""Up to 2,000 jobs every ten minutes, 288,000 a day for each process."""


class Sweep:
    """Sweeps up behind every process that shares the store; harmless when several do it at once."""

    def __init__(
        self,
        store: JobStore,
        files: FileStore,
        bench: Bench,
        *,
        keep_days: float = 90.0,
        leftovers: Leftovers | None = None,
    ) -> None:
        self._store = store
        self._files = files
        self._bench = bench
        self._keep_days = keep_days
        self._leftovers = leftovers or NoLeftovers()
        self._forgot_at = time.monotonic()
        # Where processes share the files, each begins somewhere else.
        begin = random.randrange(256)
        self._folders = cycle([(begin + step) % 256 for step in range(256)])

    @property
    def every_seconds(self) -> float:
        """How often it is worth sweeping: a few times a lease."""
        return self._bench.lease_seconds / 5

    def once(self) -> int:
        """Sweep; return how many parts were queued again."""
        if time.monotonic() - self._forgot_at > _FORGET_EVERY_SECONDS:
            self._forgot_at = time.monotonic()
            self.close_unanswered()
            self.settle_forgotten()
            self._until_done(self.forget_old_jobs)
            self._store.change(lambda ledger: ledger.forget_letters(ledger.now() - KEPT_SECONDS))
            self.forget_loose_files(folders=[f"{next(self._folders):02x}" for _ in range(_FOLDERS_A_SWEEP)])
        return self._bench.requeue_expired()

    def forget_old_jobs(self) -> int:
        """Remove some jobs that ended longer ago than they are kept; return how many.

        What a forgotten job had reserved on the rack is free again: nobody can cut it any more.
        """

        def old(ledger: Ledger) -> list[Job]:
            return ledger.ended_before(ledger.now() - self._keep_days * _DAY_SECONDS, _JOBS_AT_ONCE)

        forgotten = self._store.look(old)
        for job in forgotten:
            if job.settings.use_rack and not self._revised_since(job):
                self._leftovers.release(job.tenant, job.chain)

        def work(ledger: Ledger) -> None:
            for job in forgotten:
                ledger.remove_job(job.id)

        self._store.change(work)
        return len(forgotten)

    def settle_forgotten(self, seconds: float = _UNSETTLED_SECONDS) -> int:
        """Tell the rack of plans that it was not told of, since a process died after the commit; return how many.

        The plan that holds counts: the latest revision that is done, else the first
        plan. While one is being made, its own settlement is still to come.
        """
        told = 0
        for tenant, first_id in self._leftovers.unsettled(seconds):
            first, made = self._store.look(
                lambda ledger, first_id=first_id: (ledger.job(first_id), ledger.made_from(first_id))  # type: ignore[misc]
            )
            if first is None:
                self._leftovers.drop_promise(tenant, first_id)
                continue
            chain = [first, *(job for job in made if job.kind is JobKind.REVISION)]
            if any(not job.state.ended and not _settlement_of(job) for job in chain):
                continue
            holding = [job for job in chain if job.state not in _FELL_THROUGH]
            if not holding:
                self._leftovers.release(tenant, first_id)
            elif digest := _settlement_of(holding[-1]):
                told_of: Settlement = from_json(Settlement, self._files.get(digest))
                self._leftovers.settle(tenant, first_id, told_of)
            else:
                self._leftovers.drop_promise(tenant, first_id)
            told += 1
        return told

    def close_unanswered(self) -> int:
        """Cancel some jobs that have waited for answers as long as ended ones are kept; return how many."""

        def work(ledger: Ledger) -> int:
            now = ledger.now()
            left = ledger.waiting_before(now - self._keep_days * _DAY_SECONDS, _JOBS_AT_ONCE)
            for job in left:
                closed = replace(job.moved(JobState.CANCELLED, now), trouble="Nobody answered the open questions.")
                ledger.save_job(closed)
                announce(ledger, closed)
            return len(left)

        return self._store.change(work)

    @staticmethod
    def _until_done(some: Callable[[], int]) -> None:
        for _ in range(_ROUNDS_A_SWEEP):
            if some() < _JOBS_AT_ONCE:
                return

    def _revised_since(self, job: Job) -> bool:
        known = {one.id for one in self._store.look(lambda ledger: ledger.made_from(job.chain))}
        return bool(known - {job.id})

    def forget_loose_files(
        self, kept_seconds: float = _FILES_KEPT_SECONDS, folders: Sequence[str] | None = None
    ) -> int:
        """Remove files that no job refers to; younger ones may belong to a job that is just being taken in.

        With ``folders`` only files whose digest begins with one of these two digits are looked at.
        """
        old, removed = self._files.older_than(kept_seconds, folders), 0
        while batch := list(islice(old, _FILES_AT_ONCE)):
            used = self._store.look(lambda ledger, batch=batch: ledger.digests_in_use(batch))  # type: ignore[misc]
            for digest in set(batch) - used:
                self._files.remove(digest, unless_younger_than=kept_seconds)
                removed += 1
        return removed


def _settlement_of(job: Job) -> str:
    """Return the digest of what a job's plan means for the rack, empty as long as it has none."""
    return next((document.digest for document in job.documents if document.name == RACK), "")
