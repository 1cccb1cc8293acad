"""Webhooks: who wants to be told when a job needs somebody or has ended, and the letters on their way.

A letter is written in the same transaction that ends the job, and is sent
until it arrives or has been tried for two days: at least once, so receivers
tell repeats by ``webhook-id``.

References
----------
Standard Webhooks specification 1.0: headers ``webhook-id``, ``webhook-timestamp``
and ``webhook-signature``, secret with prefix ``whsec_``, symmetric signature ``v1``.
"""

from __future__ import annotations

import base64
import hashlib
import hmac
import json
import secrets
from datetime import UTC, datetime

from service.errors import TooManyHooksError, UnknownHookError
from service.jobs.records import Hook, Job, JobState, Letter
from service.jobs.store import JobStore, Ledger

MOST_HOOKS = 10
RETRY_SECONDS = (5, 60, 300, 1_800, 7_200, 18_000, 43_200, 86_400)
"""Pauses between tries; after the last one the letter is given up."""
LONGEST_REST_SECONDS = 1_800
"""A webhook that does not answer is tried this often at least, with whichever letter is due."""
BREATH_SECONDS = 0.2
"""Pause after a letter that arrived: a webhook gets five a second at most."""
KEPT_SECONDS = 3 * 86_400.0
"""A letter that has not arrived by then is given up."""

_TOLD = {JobState.DONE, JobState.FAILED, JobState.CANCELLED, JobState.WAITING}


class HookDesk:
    """Takes webhooks in and shows them; every method is one transaction."""

    def __init__(self, store: JobStore) -> None:
        self._store = store

    def add(self, tenant: str, url: str) -> Hook:
        """Add a webhook with a new secret.

        Raises
        ------
        TooManyHooksError
            If the tenant has as many as it may have.
        """

        def work(ledger: Ledger) -> Hook:
            if len(ledger.hooks(tenant)) >= MOST_HOOKS:
                raise TooManyHooksError(f"there are {MOST_HOOKS} webhooks already; remove one first")
            secret = "whsec_" + base64.b64encode(secrets.token_bytes(32)).decode()
            hook = Hook(id=secrets.token_hex(8), tenant=tenant, url=url, secret=secret, created=ledger.now())
            ledger.add_hook(hook)
            return hook

        return self._store.change(work)

    def hooks(self, tenant: str) -> list[Hook]:
        """Return a tenant's webhooks, oldest first."""
        return self._store.look(lambda ledger: ledger.hooks(tenant))

    def remove(self, tenant: str, hook_id: str) -> None:
        """Remove a webhook with its letters.

        Raises
        ------
        UnknownHookError
            If the tenant has no such webhook.
        """

        def work(ledger: Ledger) -> None:
            if hook_id not in {hook.id for hook in ledger.hooks(tenant)}:
                raise UnknownHookError("there is no such webhook")
            ledger.remove_hook(hook_id)

        self._store.change(work)


def announce(ledger: Ledger, job: Job) -> None:
    """Write a letter to each of the tenant's webhooks, if the job's new state is one to tell."""
    if job.state not in _TOLD:
        return
    for hook in ledger.hooks(job.tenant):
        now = ledger.now()
        body = {
            "type": f"job.{job.state.value}",
            "timestamp": datetime.fromtimestamp(now, UTC).isoformat().replace("+00:00", "Z"),
            "data": {"id": job.id, "name": job.name, "state": job.state.value, "href": f"/jobs/{job.id}"},
        }
        letter = Letter(
            id=f"msg_{secrets.token_hex(12)}", hook=hook.id, body=json.dumps(body), next_at=now, written=now
        )
        ledger.add_letter(letter)


def signature(secret: str, letter_id: str, timestamp: int, body: bytes) -> str:
    """Return the value of the ``webhook-signature`` header.

    Examples
    --------
    >>> signature("whsec_MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw", "msg_p5jXN8AQM9LWM0D4loKWxJek", 1614265330,
    ...           b'{"test": 2432232314}')
    'v1,g0hM9SsE+OTPJTGt/tmIKtSyZlE3uFJELVlNIOLJ1OE='
    """
    key = base64.b64decode(secret.removeprefix("whsec_"))
    signed = f"{letter_id}.{timestamp}.".encode() + body
    return "v1," + base64.b64encode(hmac.new(key, signed, hashlib.sha256).digest()).decode()
