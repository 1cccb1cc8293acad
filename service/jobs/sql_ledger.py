"""The ledger of a SQL store: one open transaction."""

from __future__ import annotations

import time
from collections import defaultdict
from collections.abc import Callable, Collection, Iterable, Sequence
from dataclasses import asdict
from typing import Any

from sqlalchemy import Connection, and_, delete, exists, func, insert, or_, select, union, update
from sqlalchemy.dialects import postgresql, sqlite

from service.jobs.records import ApiKey, Attachment, Hook, Job, JobState, Letter, Part, PartState
from service.jobs.sql_rows import job_of, job_row, part_of, part_row
from service.jobs.sql_tables import API_KEYS, DOCUMENTS, HOOKS, JOBS, KEYS, LETTERS, PARTS
from service.jobs.store import PageStart, UsedKey
from service.measures import QueueReading

_ACTIVE = [state.value for state in (JobState.QUEUED, JobState.CHECKING, JobState.SOLVING)]
_ENDED = [state.value for state in JobState if state.ended]
_QUEUED, _RUNNING = PartState.QUEUED.value, PartState.RUNNING.value
_OPEN = [_QUEUED, _RUNNING]


class SqlLedger:
    """Records behind one connection, within one transaction."""

    def __init__(self, connection: Connection, clock: Callable[[], float] = time.time, *, look: bool = False) -> None:
        self._connection = connection
        self._look = look
        self._clock = clock
        self._postgresql = connection.dialect.name == "postgresql"

    def now(self) -> float:
        """Return the database server's clock; an embedded database has none but this machine's."""
        if self._postgresql:
            return float(self._connection.scalar(select(func.extract("epoch", func.clock_timestamp()))) or 0)
        return self._clock()

    def job(self, job_id: str) -> Job | None:
        """Return a job, its row locked for a change where the database locks rows."""
        query = select(JOBS).where(JOBS.c.id == job_id)
        jobs = self._jobs(query if self._look else query.with_for_update())
        return jobs[0] if jobs else None

    def jobs(self, tenant: str, states: Collection[JobState], start: PageStart | None, limit: int) -> list[Job]:
        """Return a tenant's jobs, newest first."""
        query = select(JOBS).where(JOBS.c.tenant == tenant, JOBS.c.state.in_([state.value for state in states]))
        if start is not None:
            earlier = and_(JOBS.c.created == start.created, JOBS.c.id < start.id)
            query = query.where(or_(JOBS.c.created < start.created, earlier))
        return self._jobs(query.order_by(JOBS.c.created.desc(), JOBS.c.id.desc()).limit(limit))

    def ended_before(self, when: float, limit: int) -> list[Job]:
        """Return jobs that ended long ago."""
        return self._jobs(select(JOBS).where(JOBS.c.state.in_(_ENDED), JOBS.c.changed < when).limit(limit))

    def made_from(self, root: str) -> list[Job]:
        """Return the revisions and questions of a chain."""
        return self._jobs(select(JOBS).where(JOBS.c.root == root).order_by(JOBS.c.created, JOBS.c.id))

    def waiting_before(self, when: float, limit: int) -> list[Job]:
        """Return jobs that have waited long, locked where the database locks rows."""
        waiting = select(JOBS).where(JOBS.c.state == JobState.WAITING.value, JOBS.c.changed < when).limit(limit)
        return self._jobs(waiting if self._look else waiting.with_for_update(skip_locked=True))

    def active_jobs(self, tenant: str) -> int:
        """Return how many of a tenant's jobs are under way."""
        return self._count(select(func.count()).where(JOBS.c.tenant == tenant, JOBS.c.state.in_(_ACTIVE)))

    def versions(self, job_ids: Collection[str]) -> dict[str, int]:
        """Return the version of each job that exists."""
        rows = self._connection.execute(select(JOBS.c.id, JOBS.c.version).where(JOBS.c.id.in_(job_ids)))
        return {job_id: version for job_id, version in rows}  # noqa: C416 - rows are no pairs to mypy

    def add_job(self, job: Job) -> None:
        """Add a new job."""
        self._connection.execute(insert(JOBS).values(job_row(job)))
        self._add_documents(job)

    def save_job(self, job: Job) -> None:
        """Replace a job."""
        self._connection.execute(update(JOBS).where(JOBS.c.id == job.id).values(job_row(job)))
        if job.documents:
            self._connection.execute(delete(DOCUMENTS).where(DOCUMENTS.c.job == job.id))
            self._add_documents(job)

    def remove_job(self, job_id: str) -> None:
        """Remove a job; its parts, documents and keys go with it."""
        self._connection.execute(delete(JOBS).where(JOBS.c.id == job_id))

    def parts(self, job_id: str, limit: int | None = None) -> list[Part]:
        """Return a job's parts by number."""
        query = select(PARTS).where(PARTS.c.job == job_id).order_by(PARTS.c.number).limit(limit)
        return [part_of(row) for row in self._connection.execute(query).mappings()]

    def part_counts(self, job_id: str) -> dict[PartState, int]:
        """Return how many parts are in which state."""
        query = select(PARTS.c.state, func.count()).where(PARTS.c.job == job_id).group_by(PARTS.c.state)
        return {PartState(state): number for state, number in self._connection.execute(query)}

    def has_open_parts(self, job_id: str) -> bool:
        """Return whether any part is queued or running."""
        query = select(exists().where(PARTS.c.job == job_id, PARTS.c.state.in_(_OPEN)))
        return bool(self._connection.scalar(query))

    def part(self, part_id: str) -> Part | None:
        """Return a part, its row locked for a change where the database locks rows."""
        query = select(PARTS).where(PARTS.c.id == part_id)
        row = self._connection.execute(query if self._look else query.with_for_update()).mappings().first()
        return None if row is None else part_of(row)

    def add_parts(self, parts: Sequence[Part]) -> None:
        """Add new parts."""
        if parts:
            self._connection.execute(insert(PARTS), [part_row(part) for part in parts])

    def save_part(self, part: Part) -> None:
        """Replace a part."""
        self._connection.execute(update(PARTS).where(PARTS.c.id == part.id).values(part_row(part)))

    def cancel_open_parts(self, job_id: str) -> None:
        """Cancel every part that is queued or running."""
        query = update(PARTS).where(PARTS.c.job == job_id, PARTS.c.state.in_(_OPEN))
        self._connection.execute(query.values(state=PartState.CANCELLED.value))

    def next_turn(self) -> int:
        """Return the turn that is up."""
        queued = self._connection.scalar(select(func.min(PARTS.c.turn)).where(PARTS.c.state == _QUEUED))
        if queued is not None:
            return int(queued)
        return int(self._connection.scalar(select(func.max(PARTS.c.turn)).where(PARTS.c.state == _RUNNING)) or 0)

    def queued_parts(self, tenant: str) -> int:
        """Return how many parts of a tenant are queued."""
        return self._count(select(func.count()).where(PARTS.c.tenant == tenant, PARTS.c.state == _QUEUED))

    def queue(self) -> QueueReading:
        """Return how many parts are open in which state, and how long the oldest has been queued."""
        counts = select(PARTS.c.state, func.count()).where(PARTS.c.state.in_(_OPEN)).group_by(PARTS.c.state)
        parts = {str(state): int(number) for state, number in self._connection.execute(counts)}
        oldest = self._connection.scalar(select(func.min(PARTS.c.queued)).where(PARTS.c.state == _QUEUED))
        return QueueReading(parts=parts, oldest_seconds=0.0 if oldest is None else self.now() - oldest)

    def claim(self, owner: str, lease_seconds: float, most_weight: int | None = None) -> Part | None:
        """Hand out the part whose turn it is, in one statement.

        Adding zero to the pause keeps the database from looking parts up by
        their pauses and sorting the whole queue, instead of going by turn.
        """
        now = self.now()
        up = (
            select(PARTS.c.id)
            .where(PARTS.c.state == _QUEUED, PARTS.c.not_before + 0.0 <= now)
            .order_by(PARTS.c.turn, PARTS.c.id)
            .limit(1)
            .with_for_update(skip_locked=True)
        )
        if most_weight is not None:
            up = up.where(PARTS.c.weight <= most_weight)
        query = (
            update(PARTS)
            .where(PARTS.c.id == up.scalar_subquery())
            .values(
                state=_RUNNING,
                owner=owner,
                leased_until=now + lease_seconds,
                fence=PARTS.c.fence + 1,
                deliveries=PARTS.c.deliveries + 1,
                started=func.coalesce(PARTS.c.started, now),
            )
            .returning(PARTS)
        )
        row = self._connection.execute(query).mappings().first()
        return None if row is None else part_of(row)

    def renew(self, part_id: str, fence: int, lease_seconds: float) -> bool:
        """Extend a claim that still holds."""
        query = update(PARTS).where(PARTS.c.id == part_id, PARTS.c.fence == fence, PARTS.c.state == _RUNNING)
        return self._connection.execute(query.values(leased_until=self.now() + lease_seconds)).rowcount == 1

    def held(self, part_ids: Collection[str]) -> dict[str, int]:
        """Return the fence of each of these parts that is running."""
        query = select(PARTS.c.id, PARTS.c.fence).where(PARTS.c.id.in_(part_ids), PARTS.c.state == _RUNNING)
        return {part_id: fence for part_id, fence in self._connection.execute(query)}  # noqa: C416

    def requeue_expired(self, lease_seconds: float, longest_pause: float) -> int:
        """Put parts whose lease ran out, or ends impossibly late, back into the queue."""
        now = self.now()
        out = or_(PARTS.c.leased_until < now, PARTS.c.leased_until > now + 2 * lease_seconds)
        expired = select(PARTS.c.id).where(PARTS.c.state == _RUNNING, out).with_for_update(skip_locked=True)
        query = update(PARTS).where(PARTS.c.id.in_(expired)).values(state=_QUEUED, not_before=now)
        requeued = self._connection.execute(query).rowcount
        late = select(PARTS.c.id).where(PARTS.c.state == _QUEUED, PARTS.c.not_before > now + 2 * longest_pause)
        freed = update(PARTS).where(PARTS.c.id.in_(late.with_for_update(skip_locked=True)))
        self._connection.execute(freed.values(not_before=now))
        return requeued

    def used_key(self, tenant: str, key: str) -> UsedKey | None:
        """Return what a key was used for."""
        query = select(KEYS.c.fingerprint, KEYS.c.job).where(KEYS.c.tenant == tenant, KEYS.c.key == key)
        row = self._connection.execute(query).first()
        return None if row is None else UsedKey(fingerprint=row.fingerprint, job=row.job)

    def add_key(self, tenant: str, key: str, used: UsedKey) -> bool:
        """Note a key as used, unless somebody was faster."""
        dialect: Any = postgresql if self._postgresql else sqlite
        values = {"tenant": tenant, "key": key, "fingerprint": used.fingerprint, "job": used.job}
        query = dialect.insert(KEYS).values(values).on_conflict_do_nothing().returning(KEYS.c.key)
        return self._connection.execute(query).first() is not None

    def add_api_key(self, key: ApiKey) -> None:
        """Add a new API key."""
        self._connection.execute(insert(API_KEYS).values(asdict(key)))

    def api_key(self, key_id: str) -> ApiKey | None:
        """Return an API key."""
        row = self._connection.execute(select(API_KEYS).where(API_KEYS.c.id == key_id)).mappings().first()
        return None if row is None else ApiKey(**row)

    def api_keys(self) -> list[ApiKey]:
        """Return every API key, oldest first."""
        rows = self._connection.execute(select(API_KEYS).order_by(API_KEYS.c.created)).mappings()
        return [ApiKey(**row) for row in rows]

    def save_api_key(self, key: ApiKey) -> None:
        """Replace an API key."""
        self._connection.execute(update(API_KEYS).where(API_KEYS.c.id == key.id).values(asdict(key)))

    def hooks(self, tenant: str) -> list[Hook]:
        """Return a tenant's webhooks, oldest first."""
        query = select(HOOKS).where(HOOKS.c.tenant == tenant).order_by(HOOKS.c.created)
        return [Hook(**row) for row in self._connection.execute(query).mappings()]

    def add_hook(self, hook: Hook) -> None:
        """Add a new webhook."""
        self._connection.execute(insert(HOOKS).values(asdict(hook)))

    def save_hook(self, hook: Hook) -> None:
        """Replace a webhook."""
        self._connection.execute(update(HOOKS).where(HOOKS.c.id == hook.id).values(asdict(hook)))

    def remove_hook(self, hook_id: str) -> None:
        """Remove a webhook; its letters go with it."""
        self._connection.execute(delete(HOOKS).where(HOOKS.c.id == hook_id))

    def add_letter(self, letter: Letter) -> None:
        """Add a new letter."""
        self._connection.execute(insert(LETTERS).values(asdict(letter)))

    def claim_letter(self, lease_seconds: float) -> tuple[Letter, Hook] | None:
        """Hand out the letter that is due longest; its webhook rests as long as the lease."""
        now = self.now()
        due = (
            select(LETTERS.c.id, LETTERS.c.hook)
            .join(HOOKS, HOOKS.c.id == LETTERS.c.hook)
            .where(LETTERS.c.next_at <= now, HOOKS.c.resting_until <= now)
            .order_by(LETTERS.c.next_at)
            .limit(1)
            .with_for_update(skip_locked=True)
        )
        found = self._connection.execute(due).first()
        if found is None:
            return None
        until = now + lease_seconds
        letter = update(LETTERS).where(LETTERS.c.id == found.id).values(next_at=until).returning(LETTERS)
        hook = update(HOOKS).where(HOOKS.c.id == found.hook).values(resting_until=until).returning(HOOKS)
        return (
            Letter(**self._connection.execute(letter).mappings().one()),
            Hook(**self._connection.execute(hook).mappings().one()),
        )

    def save_letter(self, letter: Letter) -> None:
        """Replace a letter."""
        self._connection.execute(update(LETTERS).where(LETTERS.c.id == letter.id).values(asdict(letter)))

    def remove_letter(self, letter_id: str) -> None:
        """Remove a letter."""
        self._connection.execute(delete(LETTERS).where(LETTERS.c.id == letter_id))

    def forget_letters(self, before: float) -> int:
        """Remove the letters written before that time."""
        return self._connection.execute(delete(LETTERS).where(LETTERS.c.written < before)).rowcount

    def digests_in_use(self, digests: Iterable[str]) -> set[str]:
        """Return those digests that are still referred to."""
        asked = list(digests)
        columns = (JOBS.c.upload_digest, JOBS.c.problem, PARTS.c.payload, PARTS.c.answer, DOCUMENTS.c.digest)
        query = union(*(select(column).where(column.in_(asked)) for column in columns))
        return {digest for (digest,) in self._connection.execute(query)}

    def _jobs(self, query: Any) -> list[Job]:
        rows = self._connection.execute(query).mappings().all()
        documents: dict[str, list[Attachment]] = defaultdict(list)
        if rows:
            of_these = select(DOCUMENTS).where(DOCUMENTS.c.job.in_([row["id"] for row in rows]))
            for row in self._connection.execute(of_these.order_by(DOCUMENTS.c.name)):
                documents[row.job].append(Attachment(name=row.name, digest=row.digest, size=row.size))
        return [job_of(row, tuple(documents[row["id"]])) for row in rows]

    def _add_documents(self, job: Job) -> None:
        if job.documents:
            rows = [{"job": job.id, "name": d.name, "digest": d.digest, "size": d.size} for d in job.documents]
            self._connection.execute(insert(DOCUMENTS), rows)

    def _count(self, query: Any) -> int:
        return int(self._connection.scalar(query) or 0)
