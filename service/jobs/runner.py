"""Keeps workers busy: claims parts while there are free slots, keeps their leases alive, sweeps up behind."""

from __future__ import annotations

import os
import secrets
import socket
import threading
import time
from dataclasses import dataclass, field

import structlog

from service.errors import StoreDownError
from service.jobs.bench import Bench
from service.jobs.records import Claim
from service.jobs.sweep import Sweep
from service.jobs.worker import Worker

_LOG = structlog.get_logger()
LIGHT = 200
"""Pieces up to which a part is light: solved in a second or two. Checking and assembling count as one piece."""
_IDLE_SECONDS = 0.5
_WATCH_SECONDS = 0.5
_STORE_DOWN_SECONDS = 1.0


@dataclass(slots=True)
class _InHand:
    claim: Claim
    renewed: float
    unwanted: threading.Event = field(default_factory=threading.Event)


class Runner:
    """Runs jobs on threads of its own, away from any event loop, until it is stopped.

    Beside one thread for each slot there is one for light parts alone, so that
    a file is checked and a small job is solved while every slot is busy with
    large parts for a minute or more.
    """

    def __init__(self, bench: Bench, worker: Worker, sweep: Sweep, slots: int) -> None:
        self.owner = f"{socket.gethostname()[:80]}:{os.getpid()}:{secrets.token_hex(4)}"
        self._bench = bench
        self._worker = worker
        self._sweep = sweep
        self._slots = slots
        self._leaving = threading.Event()
        self._work = threading.Semaphore(0)
        self._in_hand: dict[str, _InHand] = {}
        self._lock = threading.Lock()
        self._threads: list[threading.Thread] = []

    def start(self) -> None:
        """Start the threads."""
        loops = [self._keep_claims, self._sweep_up, self._do_light_parts, *[self._do_parts] * self._slots]
        self._threads = [threading.Thread(target=loop, name=f"runner-{n}", daemon=True) for n, loop in enumerate(loops)]
        for thread in self._threads:
            thread.start()

    def wake(self) -> None:
        """Say that there is work, so that nobody need wait for the next look into the queue."""
        self._work.release()

    def stop(self, seconds: float = 10.0) -> None:
        """Give every part in hand back to the queue and end the threads."""
        self._leaving.set()
        for _ in range(self._slots + 1):
            self._work.release()
        end = time.monotonic() + seconds
        for thread in self._threads:
            thread.join(max(0.0, end - time.monotonic()))

    @property
    def alive(self) -> bool:
        """Whether every thread is at its work."""
        return bool(self._threads) and all(thread.is_alive() for thread in self._threads)

    def _do_light_parts(self) -> None:
        self._do_parts(LIGHT)

    def _do_parts(self, most_weight: int | None = None) -> None:
        while not self._leaving.is_set():
            try:
                claim = self._bench.claim(self.owner, most_weight)
                if claim is None:
                    self._work.acquire(timeout=_IDLE_SECONDS)
                    continue
                self._do(claim)
                self.wake()
            except StoreDownError as error:
                _LOG.warning("job store down", why=str(error))
                self._leaving.wait(_STORE_DOWN_SECONDS)
            except Exception:
                _LOG.exception("a worker stumbled")
                self._leaving.wait(_STORE_DOWN_SECONDS)

    def _do(self, claim: Claim) -> None:
        in_hand = _InHand(claim, time.monotonic())
        with self._lock:
            self._in_hand[claim.part.id] = in_hand
        try:
            self._worker.do(claim, in_hand.unwanted, self._leaving)
        finally:
            with self._lock:
                del self._in_hand[claim.part.id]

    def _keep_claims(self) -> None:
        """Renew leases well before they end; tell workers within a second when nobody wants their part."""
        while not self._leaving.wait(_WATCH_SECONDS):
            with self._lock:
                in_hand = list(self._in_hand.values())
            try:
                self._look_after(in_hand)
            except StoreDownError as error:
                _LOG.warning("leases not renewed", why=str(error))
            except Exception:
                _LOG.exception("looking after claims failed")

    def _look_after(self, in_hand: list[_InHand]) -> None:
        if not in_hand:
            return
        lost = self._bench.lost([held.claim for held in in_hand])
        for held in in_hand:
            if held.claim.part.id in lost:
                held.unwanted.set()
            elif time.monotonic() - held.renewed > self._bench.lease_seconds / 3:
                if not self._bench.renew(held.claim):
                    held.unwanted.set()
                held.renewed = time.monotonic()

    def _sweep_up(self) -> None:
        while not self._leaving.wait(self._sweep.every_seconds):
            try:
                if self._sweep.once():
                    self.wake()
            except (StoreDownError, OSError) as error:
                _LOG.warning("not swept", why=str(error))
            except Exception:
                _LOG.exception("sweeping failed")
