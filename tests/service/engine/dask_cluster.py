"""A real scheduler and real workers on loopback."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Mapping

from tests.service.throwaway import free_port


class RunningCluster:
    """One scheduler and some workers, each killed and started at will."""

    def __init__(self, environment: Mapping[str, str] | None = None) -> None:
        self.port = free_port()
        self.environment = os.environ | {"DASK_DISTRIBUTED__COMM__TIMEOUTS__CONNECT": "5s"} | dict(environment or {})
        self.scheduler = self.start_scheduler()
        self.workers: list[subprocess.Popen[bytes]] = []

    @property
    def address(self) -> str:
        return f"dask://127.0.0.1:{self.port}"

    def start_scheduler(self) -> subprocess.Popen[bytes]:
        place = ["--host", "127.0.0.1", "--port", str(self.port)]
        self.scheduler = self._start("distributed.cli.dask_scheduler", *place, "--no-dashboard", "--no-show")
        return self.scheduler

    def start_worker(self, threads: int = 2) -> subprocess.Popen[bytes]:
        options = ["--host", "127.0.0.1", "--nthreads", str(threads), "--no-dashboard", "--no-nanny"]
        address = f"tcp://127.0.0.1:{self.port}"
        worker = self._start("distributed.cli.dask_worker", address, *options, "--death-timeout", "120")
        self.workers.append(worker)
        return worker

    def stop(self) -> None:
        for process in (*self.workers, self.scheduler):
            process.kill()
            process.wait()

    def _start(self, *command: str) -> subprocess.Popen[bytes]:
        return subprocess.Popen(
            [sys.executable, "-m", *command],
            env=self.environment,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
