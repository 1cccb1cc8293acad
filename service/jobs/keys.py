"""API keys: who may speak for which tenant. Only the hash of a key is kept."""

from __future__ import annotations

import hashlib
import hmac
import re
import secrets
from dataclasses import replace

from service.errors import UnknownKeyError
from service.jobs.records import ApiKey
from service.jobs.store import JobStore, Ledger

_TOKEN = re.compile(r"sb_([0-9a-f]{12})_([A-Za-z0-9_-]{43})")
TENANT = re.compile(r"[a-z0-9][a-z0-9-]{0,62}")


class KeyRing:
    """Makes keys, revokes them, and says whose a key is."""

    def __init__(self, store: JobStore) -> None:
        self._store = store

    def create(self, tenant: str, note: str = "") -> tuple[ApiKey, str]:
        """Return a new key and the token to hand to its owner, which nobody can read again.

        The secret has 256 random bits, so a plain hash protects it.

        Raises
        ------
        ValueError
            If the tenant's name is not made of lower-case letters, digits and hyphens.
        """
        if not TENANT.fullmatch(tenant):
            raise ValueError(f"{tenant!r}: a tenant is lower-case letters, digits and hyphens, 63 at most")
        secret = secrets.token_urlsafe(32)

        def work(ledger: Ledger) -> ApiKey:
            key = ApiKey(
                id=secrets.token_hex(6), tenant=tenant, digest=_digest(secret), created=ledger.now(), note=note
            )
            ledger.add_api_key(key)
            return key

        key = self._store.change(work)
        return key, f"sb_{key.id}_{secret}"

    def all(self) -> list[ApiKey]:
        """Return every key, revoked ones included, oldest first."""
        return self._store.look(lambda ledger: ledger.api_keys())

    def revoke(self, key_id: str) -> ApiKey:
        """Revoke a key at once and for good.

        Raises
        ------
        UnknownKeyError
            If there is no such key.
        """

        def work(ledger: Ledger) -> ApiKey:
            key = ledger.api_key(key_id)
            if key is None:
                raise UnknownKeyError(f"there is no key {key_id}")
            if key.revoked is None:
                key = replace(key, revoked=ledger.now())
                ledger.save_api_key(key)
            return key

        return self._store.change(work)

    def owner(self, token: str) -> ApiKey | None:
        """Return the key of a token, None if it is wrong or revoked."""
        parts = _TOKEN.fullmatch(token)
        if parts is None:
            return None
        key = self._store.look(lambda ledger: ledger.api_key(parts[1]))
        if key is None or key.revoked is not None or not hmac.compare_digest(key.digest, _digest(parts[2])):
            return None
        return key

    def usable(self) -> bool:
        """Return whether any key is not revoked."""
        return any(key.revoked is None for key in self.all())


def _digest(secret: str) -> str:
    return hashlib.sha256(secret.encode()).hexdigest()
