"""Runs guarded calls on an existing Dask cluster (optional extra ``cluster``).

A worker holds no secret and no state: a call brings its payload, the answer
goes back the same way. On the worker it runs in a guarded child, as anywhere.
"""

from __future__ import annotations

import contextlib
import functools
import secrets
import threading
import time
from typing import Any

import structlog
from distributed import Client, Future, KilledWorker, get_worker

from service.engine.calls import Call, Lost, Outcome, Report, Stop, Stopped
from service.engine.guard import Guard
from service.errors import SettingsError

_LOG = structlog.get_logger()
_TICK_SECONDS = 0.2
_CONNECT_SECONDS = 10.0
_SLOTS = 16
_QUEUE_SECONDS = 3_600.0
"""How long a call may wait in the cluster's own queue, beyond its deadline."""


class DaskCluster:
    """An engine on a cluster, given its address such as ``dask://scheduler:8786`` (``dask+tls://`` for TLS).

    ``slots`` is how many calls are sent to the cluster at a time; those beyond
    its threads wait in the cluster's own queue.
    """

    def __init__(self, address: str, slots: int | None = None) -> None:
        scheme, _, place = address.partition("://")
        transports = {"dask": "tcp", "dask+tls": "tls"}
        if scheme not in transports or not place:
            raise SettingsError(f"{address!r} is no engine; write local, dask://HOST:PORT or dask+tls://HOST:PORT")
        self._address = f"{transports[scheme]}://{place}"
        self._slots = slots or _SLOTS
        self._client: Any = None
        self._lock = threading.Lock()
        self._topic = f"screenbatch-{secrets.token_hex(6)}"
        self._reports: dict[str, Report] = {}

    @property
    def slots(self) -> int:
        """How many calls are sent to the cluster at a time."""
        return self._slots

    def run(self, call: Call, stop: Stop, report: Report) -> Outcome:
        """Run a call on some worker; whatever happens to the cluster is ``Lost``, never the call's fault."""
        key = f"part-{secrets.token_hex(12)}"
        self._reports[key] = report
        future: Any = None
        try:
            client = self._connected()
            future = client.submit(_guarded, call, self._topic, key=key, pure=False, retries=0)
            return self._awaited(client, future, stop, _QUEUE_SECONDS + call.seconds)
        except (OSError, TimeoutError, RuntimeError, ValueError) as error:
            return Lost(f"the cluster does not answer: {error}")
        finally:
            del self._reports[key]
            if future is not None:
                with contextlib.suppress(Exception):
                    future.release()

    def close(self) -> None:
        """Leave the cluster; calls that still run there are stopped by their workers."""
        with self._lock:
            client, self._client = self._client, None
        if client is not None:
            with contextlib.suppress(Exception):
                client.close(timeout=2)

    def _connected(self) -> Any:
        with self._lock:
            if self._client is not None and self._client.status in {"closed", "closing"}:
                self._client = None
            if self._client is None:
                self._client = Client(
                    self._address, timeout=_CONNECT_SECONDS, set_as_default=False, direct_to_workers=False
                )
                self._client.subscribe_topic(self._topic, self._heard)
            return self._client

    def _awaited(self, client: Any, future: Any, stop: Stop, seconds: float) -> Outcome:
        end = time.monotonic() + seconds
        while time.monotonic() < end:
            if future.done():
                return self._ended(future)
            if client.status in {"closed", "closing"}:
                return Lost("the connection to the cluster broke")
            if stop():
                future.cancel()
                return Stopped()
            time.sleep(_TICK_SECONDS if future.status == "pending" else 0.01)
        future.cancel()
        return Lost("the cluster did not get round to it")

    @staticmethod
    def _ended(future: Future) -> Outcome:
        match future.status:
            case "finished":
                answer: Outcome = future.result(timeout=60)
                return answer
            case "error":
                error = future.exception(timeout=60)
                kind = "a worker died" if isinstance(error, KilledWorker) else f"a worker failed: {error!r}"
                return Lost(kind)
            case status:
                return Lost(f"the cluster let go of the call ({status})")

    def _heard(self, event: tuple[float, dict[str, Any]]) -> None:
        _, said = event
        report = self._reports.get(said["key"])
        if report is not None:
            threading.Thread(target=report, args=(said["report"],), daemon=True).start()


@functools.cache
def _guard() -> Guard:
    """Return the one guard of a worker's process."""
    return Guard()


def _guarded(call: Call, topic: str) -> Outcome:
    """Run a call in a guarded child; on a worker, while somebody still wants its answer."""
    worker: Any = get_worker()
    key = worker.get_current_task()

    def unwanted() -> bool:
        task = worker.state.tasks.get(key)
        return task is None or task.state == "cancelled"

    def report(progress: bytes) -> None:
        worker.log_event(topic, {"key": key, "report": progress})

    return _guard().run(call, unwanted, _at_most_once_a_second(report))


def _at_most_once_a_second(report: Report) -> Report:
    next_at = 0.0

    def spaced(progress: bytes) -> None:
        nonlocal next_at
        if time.monotonic() >= next_at:
            next_at = time.monotonic() + 1.0
            report(progress)

    return spaced
