"""What a job store can do: keep records, and change several of them as one."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Sequence
from dataclasses import dataclass
from typing import Protocol, TypeVar

from service.jobs.records import ApiKey, Hook, Job, JobState, Letter, Part, PartState
from service.measures import QueueReading

Result = TypeVar("Result")


@dataclass(frozen=True, kw_only=True, slots=True)
class PageStart:
    """Where a page of jobs goes on: behind the job created then, with that id."""

    created: float
    id: str


@dataclass(frozen=True, kw_only=True, slots=True)
class UsedKey:
    """An idempotency key as used: for which request (its fingerprint) and which job came of it."""

    fingerprint: str
    job: str


class Ledger(Protocol):
    """The records, open for one change or one look; never kept beyond it.

    Who changes a job and its parts asks for the job first: that locks it, so
    that two changes of one job follow each other.
    """

    def now(self) -> float:
        """Return the store's clock, in seconds since 1970."""

    def job(self, job_id: str) -> Job | None:
        """Return a job, locked for the rest of the change."""

    def jobs(self, tenant: str, states: Collection[JobState], start: PageStart | None, limit: int) -> list[Job]:
        """Return a tenant's jobs in any of the states, newest first, from ``start`` on."""

    def ended_before(self, when: float, limit: int) -> list[Job]:
        """Return jobs that ended and have not changed since ``when``."""

    def made_from(self, root: str) -> list[Job]:
        """Return the revisions and questions of a chain, oldest first."""

    def waiting_before(self, when: float, limit: int) -> list[Job]:
        """Return jobs that wait for answers and have not changed since ``when``."""

    def active_jobs(self, tenant: str) -> int:
        """Return how many of a tenant's jobs are queued, checking or solving."""

    def versions(self, job_ids: Collection[str]) -> dict[str, int]:
        """Return the version of each job that exists."""

    def add_job(self, job: Job) -> None:
        """Add a new job."""

    def save_job(self, job: Job) -> None:
        """Replace a job."""

    def remove_job(self, job_id: str) -> None:
        """Remove a job with its parts and keys."""

    def parts(self, job_id: str, limit: int | None = None) -> list[Part]:
        """Return a job's parts by number."""

    def part_counts(self, job_id: str) -> dict[PartState, int]:
        """Return how many of a job's parts are in which state."""

    def has_open_parts(self, job_id: str) -> bool:
        """Return whether any part of the job is queued or running."""

    def part(self, part_id: str) -> Part | None:
        """Return a part, locked for the rest of the change."""

    def add_parts(self, parts: Sequence[Part]) -> None:
        """Add new parts."""

    def save_part(self, part: Part) -> None:
        """Replace a part."""

    def cancel_open_parts(self, job_id: str) -> None:
        """Cancel every part of the job that is queued or running."""

    def next_turn(self) -> int:
        """Return the turn that is up: the least among queued parts, else the greatest among running ones."""

    def queued_parts(self, tenant: str) -> int:
        """Return how many parts of a tenant are queued."""

    def queue(self) -> QueueReading:
        """Return how many parts are open in which state, and how long the oldest has been queued."""

    def claim(self, owner: str, lease_seconds: float, most_weight: int | None = None) -> Part | None:
        """Hand out the queued part whose turn is least, in one statement; its fence and deliveries grow.

        With ``most_weight`` only parts of at most that many pieces are handed out.
        """

    def renew(self, part_id: str, fence: int, lease_seconds: float) -> bool:
        """Extend a claim; return False if it no longer holds."""

    def held(self, part_ids: Collection[str]) -> dict[str, int]:
        """Return the fence of each of these parts that is running."""

    def requeue_expired(self, lease_seconds: float, longest_pause: float) -> int:
        """Put parts whose lease ran out, or ends impossibly late, back into the queue; return how many.

        A queued part whose pause ends impossibly late, as after a clock was put back, is freed of it.
        """

    def used_key(self, tenant: str, key: str) -> UsedKey | None:
        """Return what an idempotency key was used for."""

    def add_key(self, tenant: str, key: str, used: UsedKey) -> bool:
        """Note a key as used; return False if somebody was faster."""

    def add_api_key(self, key: ApiKey) -> None:
        """Add a new API key."""

    def api_key(self, key_id: str) -> ApiKey | None:
        """Return an API key."""

    def api_keys(self) -> list[ApiKey]:
        """Return every API key, oldest first."""

    def save_api_key(self, key: ApiKey) -> None:
        """Replace an API key."""

    def hooks(self, tenant: str) -> list[Hook]:
        """Return a tenant's webhooks, oldest first."""

    def add_hook(self, hook: Hook) -> None:
        """Add a new webhook."""

    def save_hook(self, hook: Hook) -> None:
        """Replace a webhook."""

    def remove_hook(self, hook_id: str) -> None:
        """Remove a webhook with its letters."""

    def add_letter(self, letter: Letter) -> None:
        """Add a new letter."""

    def claim_letter(self, lease_seconds: float) -> tuple[Letter, Hook] | None:
        """Hand out the letter that is due longest, to a webhook that does not rest.

        Until the lease is over nobody else gets this letter or another one to
        the same webhook.
        """

    def save_letter(self, letter: Letter) -> None:
        """Replace a letter."""

    def remove_letter(self, letter_id: str) -> None:
        """Remove a letter."""

    def forget_letters(self, before: float) -> int:
        """Remove the letters written before that time; return how many."""

    def digests_in_use(self, digests: Iterable[str]) -> set[str]:
        """Return those digests that a job or part still refers to."""


class JobStore(Protocol):
    """Keeps the records; the only truth about what is to be done."""

    def change(self, work: Callable[[Ledger], Result]) -> Result:
        """Carry out a change as a whole or not at all; ``work`` may be called again after a clash.

        Raises
        ------
        StoreDownError
            If the store cannot be reached.
        """

    def look(self, work: Callable[[Ledger], Result]) -> Result:
        """Look at records without changing any.

        Raises
        ------
        StoreDownError
            If the store cannot be reached.
        """

    def close(self) -> None:
        """Let go of the store."""
