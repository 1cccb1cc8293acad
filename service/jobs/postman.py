"""Carries letters to webhooks: a few at a time, one at a time to each webhook."""

from __future__ import annotations

import threading
import time
from dataclasses import replace

import structlog

from service.errors import AddressError, StoreDownError
from service.jobs.hooks import BREATH_SECONDS, LONGEST_REST_SECONDS, RETRY_SECONDS, signature
from service.jobs.records import Hook, Letter
from service.jobs.sending import send, target
from service.jobs.store import JobStore, Ledger

_LOG = structlog.get_logger()
_IDLE_SECONDS = 1.0
_LEASE_SECONDS = 60.0
_CARRIERS = 4


class Postman:
    """Sends what is due until stopped; several processes may each have one."""

    def __init__(self, store: JobStore, *, private_allowed: bool) -> None:
        self._store = store
        self._private_allowed = private_allowed
        self._leaving = threading.Event()
        self._threads = [
            threading.Thread(target=self._rounds, name=f"postman-{number}", daemon=True) for number in range(_CARRIERS)
        ]

    def start(self) -> None:
        """Start the rounds."""
        for thread in self._threads:
            thread.start()

    def stop(self) -> None:
        """End the rounds; a letter in hand is sent again later by whoever is there."""
        self._leaving.set()
        for thread in self._threads:
            thread.join(1.0)

    def carry_one(self) -> bool:
        """Carry the letter that is due longest; return whether there was one."""
        due = self._store.change(lambda ledger: ledger.claim_letter(_LEASE_SECONDS))
        if due is None:
            return False
        letter, hook = due
        why = self._sent(letter, hook)
        self._store.change(lambda ledger: self._settle(ledger, letter, hook, why))
        return True

    def _rounds(self) -> None:
        while not self._leaving.is_set():
            try:
                if not self.carry_one():
                    self._leaving.wait(_IDLE_SECONDS)
            except StoreDownError as error:
                _LOG.warning("letters wait", why=str(error))
                self._leaving.wait(_IDLE_SECONDS)
            except Exception:
                _LOG.exception("the postman stumbled")
                self._leaving.wait(_IDLE_SECONDS)

    def _sent(self, letter: Letter, hook: Hook) -> str:
        """Send a letter; return why it did not arrive, empty if it did."""
        body = letter.body.encode()
        timestamp = int(time.time())
        headers = {
            "Content-Type": "application/json",
            "User-Agent": "screenbatch",
            "webhook-id": letter.id,
            "webhook-timestamp": str(timestamp),
            "webhook-signature": signature(hook.secret, letter.id, timestamp, body),
        }
        try:
            to = target(hook.url, private_allowed=self._private_allowed)
            status = send(to, body, headers, private_allowed=self._private_allowed)
        except (AddressError, OSError, ValueError) as error:
            return str(error) or type(error).__name__
        return "" if 200 <= status < 300 else f"answered {status}"

    @staticmethod
    def _settle(ledger: Ledger, letter: Letter, hook: Hook, why: str) -> None:
        tries = letter.tries + 1
        failures = hook.failures + 1 if why else 0
        rest = (
            min(RETRY_SECONDS[min(failures, len(RETRY_SECONDS)) - 1], LONGEST_REST_SECONDS) if why else BREATH_SECONDS
        )
        ledger.save_hook(replace(hook, failures=failures, resting_until=ledger.now() + rest))
        log = _LOG.bind(letter=letter.id, webhook=letter.hook, tries=tries)
        if not why or tries > len(RETRY_SECONDS):
            log.info("letter arrived") if not why else log.warning("letter given up", why=why)
            ledger.remove_letter(letter.id)
            return
        log.info("letter not taken", why=why)
        ledger.save_letter(replace(letter, tries=tries, next_at=ledger.now() + RETRY_SECONDS[tries - 1]))
