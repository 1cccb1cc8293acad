"""What follows a plan, at the desk: its next revision, and questions about it; each is a job of its own."""

from __future__ import annotations

import hashlib
import secrets
from dataclasses import dataclass, replace

from service.errors import MoveError
from service.job_settings import JobSettings
from service.jobs.handing_in import seen, taken_in
from service.jobs.hooks import announce
from service.jobs.records import Attachment, Job, JobKind, JobState, Part, PartState, Task
from service.jobs.store import JobStore, Ledger
from service.jobs.turns import turns

_FELL_THROUGH = (JobState.CANCELLED, JobState.FAILED)
_TASKS = {JobKind.REVISION: Task.REVISE, JobKind.QUESTION: Task.ANSWER}


@dataclass(frozen=True, kw_only=True, slots=True)
class Follow:
    """What is wanted of a planned job: ``payload`` is the digest of what the work needs, kept already.

    ``name`` is appended to the job's name. A question about a file that nobody
    has planned has no ``parent``, but an ``upload``.
    """

    tenant: str
    parent: str
    kind: JobKind
    name: str
    payload: str
    settings: JobSettings
    key: str | None = None
    upload: Attachment | None = None

    @property
    def fingerprint(self) -> str:
        """What two uses of one idempotency key must have in common."""
        said = f"{self.kind.value}\n{self.parent}\n{self.payload}\n{self.settings.model_dump_json()}"
        return hashlib.sha256(said.encode()).hexdigest()


class FollowDesk:
    """Takes revisions and questions in; every method is one transaction."""

    def __init__(self, store: JobStore, *, queue_cap: int = 10_000) -> None:
        self._store = store
        self._queue_cap = queue_cap

    def accept(self, wish: Follow) -> Job:
        """Take a revision or question in, or return the one that the same request made before.

        Raises
        ------
        UnknownJobError
            If there is no such job.
        MoveError
            If the job has been revised already: then its latest revision is the one to go on from.
        KeyReusedError
            If the idempotency key was used for a different request.
        QueueFullError
            If the tenant has too many parts waiting.
        """

        def work(ledger: Ledger) -> Job:
            def make() -> Job:
                parent = seen(ledger, wish.tenant, wish.parent) if wish.parent else None
                if parent is not None and wish.kind is JobKind.REVISION:
                    _refuse_a_fork(parent, ledger.made_from(parent.chain))
                return _made(wish, parent, ledger.now(), "" if parent is None else _first_name(ledger, parent))

            def fill(job: Job) -> None:
                pieces = _pieces(ledger, job.root) if job.root else 1
                ledger.add_parts([_part(job, ledger, wish, pieces)])

            return taken_in(ledger, wish, self._queue_cap, make, fill)

        return self._store.change(work)

    def chain(self, tenant: str, job_id: str) -> list[Job]:
        """Return the revisions that hold of a job's chain, the first plan first."""

        def work(ledger: Ledger) -> list[Job]:
            job = seen(ledger, tenant, job_id)
            first = ledger.job(job.chain)
            made = [one for one in ledger.made_from(job.chain) if one.kind is JobKind.REVISION]
            return [*([first] if first else []), *(one for one in made if one.state not in _FELL_THROUGH)]

        return self._store.look(work)

    def take_back(self, tenant: str, job_id: str) -> tuple[Job, Job]:
        """Take the latest revision of a chain back; return it and the one before, which holds again.

        Raises
        ------
        MoveError
            If it is no finished revision, or not the latest.
        """

        def work(ledger: Ledger) -> tuple[Job, Job]:
            job = seen(ledger, tenant, job_id)
            parent = ledger.job(job.parent)
            if job.kind is not JobKind.REVISION or job.state is not JobState.DONE or parent is None:
                raise MoveError("only a finished revision can be taken back")
            _refuse_a_fork(job, ledger.made_from(job.chain))
            now = ledger.now()
            back = replace(job, state=JobState.CANCELLED, changed=now, version=job.version + 1)
            ledger.save_job(back)
            announce(ledger, back)
            return back, parent

        return self._store.change(work)


def _made(wish: Follow, parent: Job | None, now: float, first_name: str) -> Job:
    upload = wish.upload if parent is None else parent.upload
    assert upload is not None  # noqa: S101 - a wish has a parent or an upload
    return Job(
        id=secrets.token_hex(12),
        tenant=wish.tenant,
        name=(f"{first_name[:150]}, {wish.name}" if first_name else wish.name)[:200],
        settings=wish.settings,
        upload=upload,
        created=now,
        changed=now,
        kind=wish.kind,
        parent="" if parent is None else parent.id,
        root="" if parent is None else parent.chain,
    )


def _refuse_a_fork(parent: Job, chain: list[Job]) -> None:
    later = [one for one in chain if one.kind is JobKind.REVISION and one.parent == parent.id]
    holding = [one for one in later if one.state not in _FELL_THROUGH]
    if holding:
        raise MoveError(
            f"this plan has been revised already; go on from {holding[-1].name} (job {holding[-1].id}), or take it back"
        )


def _first_name(ledger: Ledger, parent: Job) -> str:
    first = ledger.job(parent.root) if parent.root else parent
    return parent.name if first is None else first.name


def _pieces(ledger: Ledger, root: str) -> int:
    """Return how many pieces the first plan cut: what its revisions and questions may have to plan again."""
    return sum(part.weight for part in ledger.parts(root) if part.task is Task.SOLVE)


def _part(job: Job, ledger: Ledger, wish: Follow, pieces: int) -> Part:
    (turn,) = turns(ledger.next_turn(), ledger.active_jobs(job.tenant), [pieces])
    return Part(
        id=f"{job.id}-0",
        job=job.id,
        tenant=job.tenant,
        number=0,
        name=wish.name,
        task=_TASKS[wish.kind],
        turn=turn,
        weight=max(1, pieces),
        state=PartState.QUEUED,
        payload=wish.payload,
        queued=ledger.now(),
    )
