"""The service as an operator starts it: its own process, a real port, real HTTP."""

from __future__ import annotations

import contextlib
import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import httpx

from tests.service.throwaway import free_port


class RunningService:
    """One ``screenbatch serve`` on loopback, and an HTTP client that speaks to it."""

    def __init__(self, data: Path, logs: Path | None = None, **settings: str) -> None:
        self.data = data
        self.port = free_port()
        self.settings = settings
        self.log = (logs or data.parent) / f"{data.name}-{self.port}.log"
        self.client = httpx.Client(base_url=f"http://127.0.0.1:{self.port}", timeout=30)
        self.process = self._start()

    def _start(self) -> subprocess.Popen[bytes]:
        environment = {f"SCREENBATCH_{name.upper()}": value for name, value in self.settings.items()}
        with self.log.open("ab") as log:
            return subprocess.Popen(
                [sys.executable, "-m", "service", "serve", "--port", str(self.port), "--data", str(self.data)],
                env=os.environ | {"SCREENBATCH_LEASE_SECONDS": "2"} | environment,
                stdout=log,
                stderr=log,
            )

    def await_ready(self, seconds: float = 30) -> RunningService:
        end = time.monotonic() + seconds
        while True:
            with contextlib.suppress(httpx.TransportError):
                if self.client.get("/health/ready").status_code == 200:
                    return self
            if self.process.poll() is not None or time.monotonic() > end:
                raise AssertionError(f"the service did not start:\n{self.log.read_text()[-4000:]}")
            time.sleep(0.05)

    def restart(self) -> RunningService:
        self.process = self._start()
        return self.await_ready()

    def kill(self) -> None:
        self.process.kill()
        self.process.wait()

    def stop(self) -> int:
        self.process.send_signal(signal.SIGTERM)
        return self.process.wait(timeout=20)

    def hand_in(self, file: Path | bytes, name: str = "job.csv", **form: str) -> httpx.Response:
        content = file if isinstance(file, bytes) else file.read_bytes()
        name = name if isinstance(file, bytes) else file.name
        return self.client.post("/jobs", files={"file": (name, content)}, data=form)

    def await_end(self, job: str, *states: str, seconds: float = 60) -> dict[str, Any]:
        """Wait until a job has ended, or is in one of the given states."""
        wanted = states or ("done", "failed", "cancelled", "waiting")
        end = time.monotonic() + seconds
        while True:
            answer: dict[str, Any] = self.client.get(f"/jobs/{job}").raise_for_status().json()
            if answer["state"] in wanted:
                return answer
            assert time.monotonic() < end, f"still {answer['state']}: {answer}\n{self.log.read_text()[-4000:]}"
            time.sleep(0.05)


@contextlib.contextmanager
def running_service(data: Path, **settings: str) -> Iterator[RunningService]:
    service = RunningService(data, None, **settings)
    try:
        yield service.await_ready()
    finally:
        if service.process.poll() is None:
            service.stop()
        service.client.close()
