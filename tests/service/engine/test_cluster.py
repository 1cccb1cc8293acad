"""The same guarded calls on a real Dask cluster."""

import threading
import time
from collections.abc import Iterator
from pathlib import Path

import psutil
import pytest

from service.engine.calls import Answered, Call, Crashed, Lost, Outcome, OutOfMemory, Overran, Stopped
from service.engine.cluster import DaskCluster
from service.engine.guard import never, unheard
from service.errors import SettingsError
from service.machine_memory import MEBIBYTE
from tests.service.engine.dask_cluster import RunningCluster

pytestmark = pytest.mark.slow
TASKS = Path(__file__).parent / "child_tasks"


@pytest.fixture(scope="module")
def cluster() -> Iterator[RunningCluster]:
    cluster = RunningCluster({"PYTHONPATH": str(TASKS)})
    cluster.start_worker()
    yield cluster
    cluster.stop()


@pytest.fixture(scope="module")
def engine(cluster: RunningCluster) -> Iterator[DaskCluster]:
    engine = DaskCluster(cluster.address)
    yield engine
    engine.close()


def call(task: str, payload: bytes = b"", seconds: float = 30) -> Call:
    return Call(task=f"misbehaving_tasks:{task}", payload=payload, seconds=seconds, memory=512 * MEBIBYTE)


def gone(pid: int, seconds: float = 5) -> bool:
    end = time.monotonic() + seconds
    while psutil.pid_exists(pid) and time.monotonic() < end:
        time.sleep(0.05)
    return not psutil.pid_exists(pid)


def test_a_worker_guards_its_calls_like_this_machine(engine: DaskCluster) -> None:
    assert engine.run(call("echo", b"x" * 1_000_000), never, unheard) == Answered(b"x" * 1_000_000)
    assert isinstance(engine.run(call("read_address_zero"), never, unheard), Crashed)
    assert engine.run(call("eat_memory"), never, unheard) == OutOfMemory(512 * MEBIBYTE)
    assert engine.run(call("spin_in_native_code", seconds=0.5), never, unheard) == Overran(0.5)


def test_a_worker_stops_within_two_seconds_when_nobody_wants_the_answer(engine: DaskCluster) -> None:
    pids: list[bytes] = []
    assert engine.run(call("spin_in_native_code"), lambda: bool(pids), pids.append) == Stopped()
    assert gone(int(pids[0]), seconds=2)


def test_a_worker_stops_when_the_process_that_asked_is_gone(cluster: RunningCluster) -> None:
    engine = DaskCluster(cluster.address)
    pids: list[bytes] = []
    outcomes: list[Outcome] = []
    asking = threading.Thread(
        target=lambda: outcomes.append(engine.run(call("spin_in_native_code"), never, pids.append))
    )
    asking.start()
    while not pids:
        time.sleep(0.05)
    engine.close()
    asking.join(10)
    assert isinstance(outcomes[0], Lost)
    assert gone(int(pids[0]))


def test_a_cluster_that_is_not_there_is_an_outage_and_no_fault_of_the_part() -> None:
    engine = DaskCluster("dask://127.0.0.1:9")
    assert isinstance(engine.run(call("echo"), never, unheard), Lost)


@pytest.mark.parametrize("address", ["", "local?", "dask://", "tcp://host:8786"])
def test_an_address_that_is_no_cluster_is_refused(address: str) -> None:
    with pytest.raises(SettingsError):
        DaskCluster(address)
