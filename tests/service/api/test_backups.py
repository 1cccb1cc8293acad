"""A backup taken while the service works is a service again."""

import json
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner

from service.cli import screenbatch
from tests.service.running_service import RunningService, running_service
from tests.service.throwaway import ThrowawayPostgresql

ROWS = b"label,width,height\nA,30,40\nB,31 1/2,40\n"
INCHES = json.dumps({"unit": "in"})

pytestmark = pytest.mark.slow


def plans(service: RunningService, jobs: list[str]) -> list[bytes]:
    for job in jobs:
        assert service.await_end(job)["state"] == "done"
    return [service.client.get(f"/jobs/{job}/plan.json").content for job in jobs]


def test_a_copy_of_a_running_sqlite_service_is_a_service(tmp_path: Path) -> None:
    copy = tmp_path / "copy"
    with running_service(tmp_path / "data") as service:
        jobs = [service.hand_in(ROWS, settings=INCHES).json()["id"] for _ in range(4)]
        service.await_end(jobs[0])
        ran = CliRunner().invoke(screenbatch, ["backup", str(copy), "--data", str(tmp_path / "data")])
        assert ran.exit_code == 0, ran.output
        expected = plans(service, jobs)
    with running_service(copy) as restored:
        assert plans(restored, jobs) == expected
    again = CliRunner().invoke(screenbatch, ["backup", str(copy), "--data", str(tmp_path / "data")])
    assert again.exit_code == 2


def test_a_dump_of_a_running_postgresql_service_is_a_service(tmp_path: Path, program: Callable[[str], str]) -> None:
    program("pg_dump")
    with ThrowawayPostgresql() as server:
        with running_service(tmp_path / "data", database=server.url) as service:
            jobs = [service.hand_in(ROWS, settings=INCHES).json()["id"] for _ in range(3)]
            service.await_end(jobs[0])
            server.dump(tmp_path / "dump")
            shutil.copytree(tmp_path / "data" / "files", tmp_path / "copy" / "files")
            expected = plans(service, jobs)
        restored_url = server.restore(tmp_path / "dump", "restored")
        with running_service(tmp_path / "copy", database=restored_url) as restored:
            assert plans(restored, jobs) == expected
