"""A database server that is there but does not answer: who supervises the service is told in time."""

import time
from pathlib import Path

import psutil
import pytest

from tests.service.running_service import running_service
from tests.service.throwaway import POSTGRESQL, ThrowawayPostgresql


@pytest.mark.slow
@pytest.mark.skipif(not POSTGRESQL.is_dir(), reason="Debian's postgresql is not installed")
def test_a_frozen_database_makes_the_service_unready_and_it_recovers(tmp_path: Path) -> None:
    with ThrowawayPostgresql() as server, running_service(tmp_path / "data", database=server.url) as service:
        main = psutil.Process(int((server.folder / "cluster" / "postmaster.pid").read_text().split()[0]))
        frozen = [main, *main.children(recursive=True)]
        for process in frozen:
            process.suspend()
        try:
            assert service.client.get("/health/live").status_code == 200
            started = time.monotonic()
            assert service.client.get("/health/ready").status_code == 503
            assert time.monotonic() - started < 10, "a supervisor does not wait for ever"
        finally:
            for process in frozen:
                process.resume()
        job = service.hand_in(b"label,width,height\nA,30,40\n", settings='{"unit": "in"}').json()["id"]
        assert service.await_end(job)["state"] == "done"
