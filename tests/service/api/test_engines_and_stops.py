"""One plan on every engine; a service that is told to stop leaves nothing running and nothing lost."""

import json
import time
from pathlib import Path

import psutil
import pytest

from tests.service.api.client_example import ScreenbatchClient
from tests.service.engine.dask_cluster import RunningCluster
from tests.service.running_service import running_service

pytestmark = pytest.mark.slow
ROWS = b"label,width,height\n" + b"".join(b"W%d,%d 3/8,%d\n" % (n, 24 + n, 40 + n % 7) for n in range(30))
SETTINGS = json.dumps({"unit": "in", "name": "Block A", "seconds": 600, "work": 3_000, "seed": 7})


def test_a_job_gives_the_same_plan_on_this_machine_and_on_a_cluster(tmp_path: Path) -> None:
    job = tmp_path / "Block A.csv"
    job.write_bytes(ROWS)
    cluster = RunningCluster()
    cluster.start_worker()
    plans = []
    try:
        for engine in ("local", cluster.address):
            with (
                running_service(tmp_path / engine.partition(":")[0], engine=engine) as service,
                ScreenbatchClient(str(service.client.base_url)) as client,
            ):
                planned = client.plan(job, SETTINGS, order="one")
                assert planned.state == "done", planned
                plans.append(json.loads(client.document(planned, "plan.json")))
    finally:
        cluster.stop()
    assert plans[0] == plans[1]


def test_a_service_that_is_told_to_stop_gives_its_parts_back_and_leaves_no_process(tmp_path: Path) -> None:
    hard = b"label,width,height\n" + b"".join(
        b"W%d,%d %d/16,%d %d/16\n" % (n, 30 + n * 7 % 29, n % 16, 40 + n * 11 % 31, n * 3 % 16) for n in range(3_000)
    )
    with running_service(tmp_path / "data") as service:
        settings = json.dumps({"unit": "in", "seconds": 120, "work": 10**9})
        job = service.hand_in(hard, settings=settings).json()["id"]
        service.await_end(job, "solving", seconds=60)
        time.sleep(0.5)
        children = psutil.Process(service.process.pid).children(recursive=True)
        service.stop()
        _, left = psutil.wait_procs(children, timeout=2)
        assert left == []
        service.restart()
        parts = service.client.get(f"/jobs/{job}").json()["parts"]
        assert {part["state"] for part in parts if part["task"] == "solve"} <= {"queued", "running", "done"}
        assert all(part["crashes"] == 0 for part in parts)
        service.client.delete(f"/jobs/{job}").raise_for_status()


def test_a_small_job_is_done_while_every_slot_is_busy_with_a_large_one(tmp_path: Path) -> None:
    hard = b"label,width,height\n" + b"".join(
        b"W%d,%d %d/16,%d %d/16\n" % (n, 30 + n * 7 % 29, n % 16, 40 + n * 11 % 31, n * 3 % 16) for n in range(3_000)
    )
    with running_service(tmp_path / "data", slots="1") as service:
        settings = json.dumps({"unit": "in", "seconds": 300, "work": 10**9})
        large = service.hand_in(hard, settings=settings).json()["id"]
        service.await_end(large, "solving", seconds=60)
        small = service.hand_in(ROWS, settings=SETTINGS).json()["id"]
        assert service.await_end(small, seconds=60)["state"] == "done"
        assert service.client.get(f"/jobs/{large}").json()["state"] == "solving"
        service.client.delete(f"/jobs/{large}").raise_for_status()
