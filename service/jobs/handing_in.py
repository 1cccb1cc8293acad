"""What every job that comes in has in common: one job for one key, a limit on what waits, and whose it is."""

from __future__ import annotations

from collections.abc import Callable
from typing import Protocol

from service.errors import KeyReusedError, QueueFullError, UnknownJobError
from service.jobs.records import Job
from service.jobs.store import Ledger, UsedKey


class Keyed(Protocol):
    """What a caller hands in; two uses of one idempotency key must have the fingerprint in common."""

    @property
    def tenant(self) -> str: ...  # noqa: D102

    @property
    def key(self) -> str | None: ...  # noqa: D102

    @property
    def fingerprint(self) -> str: ...  # noqa: D102


def taken_in(ledger: Ledger, wish: Keyed, queue_cap: int, make: Callable[[], Job], fill: Callable[[Job], None]) -> Job:
    """Return the job that the same request made before, else make one, keep it and fill it with parts.

    Raises
    ------
    KeyReusedError
        If the idempotency key was used for a different request.
    QueueFullError
        If the tenant has too many parts waiting.
    """
    earlier = _earlier(ledger, wish)
    if earlier is not None:
        return earlier
    job = make()
    if ledger.queued_parts(wish.tenant) >= queue_cap:
        raise QueueFullError(f"{queue_cap} parts are waiting already; send the next job later")
    ledger.add_job(job)
    if wish.key is not None:
        used = UsedKey(fingerprint=wish.fingerprint, job=job.id)
        if not ledger.add_key(wish.tenant, wish.key, used):
            ledger.remove_job(job.id)
            faster = _earlier(ledger, wish)
            assert faster is not None  # noqa: S101 - the key is there, and a key always has its job
            return faster
    fill(job)
    return job


def seen(ledger: Ledger, tenant: str, job_id: str) -> Job:
    """Return a job.

    Raises
    ------
    UnknownJobError
        If there is none that this tenant may see.
    """
    job = ledger.job(job_id) if job_id.isalnum() else None
    if job is None or job.tenant != tenant:
        raise UnknownJobError("there is no such job")
    return job


def _earlier(ledger: Ledger, wish: Keyed) -> Job | None:
    used = None if wish.key is None else ledger.used_key(wish.tenant, wish.key)
    if used is None:
        return None
    if used.fingerprint != wish.fingerprint:
        raise KeyReusedError("this idempotency key was used for a different request")
    return ledger.job(used.job)
