"""The front desk: takes jobs in, shows them, takes answers and cancels; what callers may ask for."""

from __future__ import annotations

import hashlib
import secrets
from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace

from service.errors import MoveError
from service.job_settings import JobSettings
from service.jobs.handing_in import seen, taken_in
from service.jobs.hooks import announce
from service.jobs.records import Attachment, Job, JobState, Part, PartState, Task
from service.jobs.store import JobStore, Ledger, PageStart
from service.jobs.turns import turns
from service.sheets.findings import Verdict
from service.sheets.ledger import EVERY

ALL_STATES = tuple(JobState)


@dataclass(frozen=True, kw_only=True, slots=True)
class JobView:
    """A job with its parts as far as shown, and how many there are in each state."""

    job: Job
    parts: tuple[Part, ...]
    counts: Mapping[PartState, int]


@dataclass(frozen=True, kw_only=True, slots=True)
class Wish:
    """What a caller hands in: an upload that is kept already, and what is said about it."""

    tenant: str
    upload: Attachment
    settings: JobSettings
    key: str | None = None

    @property
    def fingerprint(self) -> str:
        """What two uses of one idempotency key must have in common."""
        said = f"{self.upload.digest}\n{self.upload.name}\n{self.settings.model_dump_json(exclude_defaults=True)}"
        return hashlib.sha256(said.encode()).hexdigest()


class Desk:
    """Every method is one transaction; what it returned has been committed."""

    def __init__(self, store: JobStore, *, queue_cap: int = 10_000, parts_shown: int = 1_000) -> None:
        self._store = store
        self._queue_cap = queue_cap
        self._parts_shown = parts_shown

    def accept(self, wish: Wish) -> Job:
        """Take a job in, or return the one that the same request made before.

        Raises
        ------
        KeyReusedError
            If the idempotency key was used for a different request.
        QueueFullError
            If the tenant has too many parts waiting.
        """

        def work(ledger: Ledger) -> Job:
            return taken_in(
                ledger,
                wish,
                self._queue_cap,
                lambda: _new_job(wish, ledger.now()),
                lambda job: ledger.add_parts([_check_part(job, ledger, number=0)]),
            )

        return self._store.change(work)

    def job(self, tenant: str, job_id: str) -> Job:
        """Return a job.

        Raises
        ------
        UnknownJobError
            If there is none that this tenant may see.
        """
        return self._store.look(lambda ledger: seen(ledger, tenant, job_id))

    def view(self, tenant: str, job_id: str) -> JobView:
        """Return a job with its parts."""

        def work(ledger: Ledger) -> JobView:
            job = seen(ledger, tenant, job_id)
            parts = tuple(ledger.parts(job_id, self._parts_shown))
            return JobView(job=job, parts=parts, counts=ledger.part_counts(job_id))

        return self._store.look(work)

    def jobs(
        self, tenant: str, *, state: JobState | None = None, start: PageStart | None = None, limit: int = 50
    ) -> list[Job]:
        """Return a page of a tenant's jobs, newest first."""
        states = ALL_STATES if state is None else (state,)
        return self._store.look(lambda ledger: ledger.jobs(tenant, states, start, limit))

    def versions(self, job_ids: Collection[str]) -> dict[str, int]:
        """Return the version of each of these jobs that exists."""
        return self._store.look(lambda ledger: ledger.versions(job_ids))

    def cancel(self, tenant: str, job_id: str) -> Job:
        """Cancel a job; one that is cancelled already stays as it is.

        Raises
        ------
        MoveError
            If the job is done or failed.
        """

        def work(ledger: Ledger) -> Job:
            job = seen(ledger, tenant, job_id)
            if job.state is JobState.CANCELLED:
                return job
            cancelled = job.moved(JobState.CANCELLED, ledger.now())
            ledger.save_job(cancelled)
            ledger.cancel_open_parts(job_id)
            announce(ledger, cancelled)
            return cancelled

        return self._store.change(work)

    def answer(self, tenant: str, job_id: str, answers: Mapping[str, str], *, accept_proposals: bool) -> Job:
        """Answer open questions, by cell or ``every`` and their kind; the job is checked again with the answers.

        Raises
        ------
        MoveError
            If the job does not wait for answers, or an answer names no open question.
        """

        def work(ledger: Ledger) -> Job:
            job = seen(ledger, tenant, job_id)
            if job.state is not JobState.WAITING:
                raise MoveError(f"the job is {job.state.value} and waits for no answer")
            asked = [finding for finding in job.findings if finding.verdict is Verdict.QUESTION]
            open_cells = {finding.address for finding in asked}
            alike = {f"{EVERY}{finding.kind}" for finding in asked if finding.kind}
            unknown = sorted(set(answers) - open_cells - alike)
            if unknown:
                raise MoveError(f"no open question in {', '.join(unknown)}")
            settings = job.settings.model_copy(
                update={
                    "answers": job.settings.answers | dict(answers),
                    "accept_proposals": job.settings.accept_proposals or accept_proposals,
                }
            )
            again = replace(job.moved(JobState.QUEUED, ledger.now()), settings=settings)
            ledger.save_job(again)
            ledger.add_parts([_check_part(again, ledger, number=len(ledger.parts(job_id)))])
            return again

        return self._store.change(work)


def _new_job(wish: Wish, now: float) -> Job:
    return Job(
        id=secrets.token_hex(12),
        tenant=wish.tenant,
        name="".join(letter for letter in wish.settings.name if letter.isprintable()) or wish.upload.name,
        settings=wish.settings,
        upload=wish.upload,
        created=now,
        changed=now,
    )


def _check_part(job: Job, ledger: Ledger, number: int) -> Part:
    (turn,) = turns(ledger.next_turn(), ledger.active_jobs(job.tenant), [0])
    return Part(
        id=f"{job.id}-{number}",
        job=job.id,
        tenant=job.tenant,
        number=number,
        name="check",
        task=Task.CHECK,
        turn=turn,
        payload=job.upload.digest,
        queued=ledger.now(),
    )
