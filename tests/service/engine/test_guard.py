"""The guard keeps its caller alive whatever its child does."""

import os
import subprocess
import sys
import textwrap
import time
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import psutil
import pytest

from service.engine.calls import Answered, Call, Crashed, Outcome, OutOfMemory, Overran, Raised, Stopped
from service.engine.guard import Guard
from service.machine_memory import MEBIBYTE

TASKS = Path(__file__).parent / "child_tasks"


@pytest.fixture(scope="module", autouse=True)
def _children_find_the_tasks() -> Iterator[None]:
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("PYTHONPATH", str(TASKS))
        yield


@pytest.fixture(scope="module")
def guard() -> Iterator[Guard]:
    guard = Guard(modules=())
    yield guard
    guard.close()


def call(task: str, payload: bytes = b"", seconds: float = 30, megabytes: int = 512) -> Call:
    return Call(task=f"misbehaving_tasks:{task}", payload=payload, seconds=seconds, memory=megabytes * MEBIBYTE)


def pid_of(outcome: Outcome) -> int:
    assert isinstance(outcome, Answered)
    return int(outcome.answer)


def test_an_answer_comes_back_byte_for_byte(guard: Guard) -> None:
    payload = bytes(range(256)) * 40_000
    assert guard.run(call("echo", payload)) == Answered(payload)


def test_a_warm_child_serves_the_next_call(guard: Guard) -> None:
    assert pid_of(guard.run(call("pid"))) == pid_of(guard.run(call("pid")))


def test_a_child_is_replaced_after_its_calls_are_used_up() -> None:
    guard = Guard(recycle_after_calls=2, modules=())
    pids = [pid_of(guard.run(call("pid"))) for _ in range(3)]
    guard.close()
    assert pids[0] == pids[1] != pids[2]
    assert not psutil.pid_exists(pids[0])


def test_progress_arrives_in_order(guard: Guard) -> None:
    heard: list[bytes] = []
    assert guard.run(call("report_twice"), report=heard.append) == Answered(b"done")
    assert heard == [b"one", b"two"]


def test_what_a_child_prints_goes_nowhere(guard: Guard, capfd: pytest.CaptureFixture[str]) -> None:
    assert guard.run(call("chatter")) == Answered(b"done")
    assert capfd.readouterr() == ("", "")


def test_an_error_in_a_task_is_told_and_the_child_lives_on(guard: Guard) -> None:
    before = pid_of(guard.run(call("pid")))
    outcome = guard.run(call("raise_an_error"))
    assert isinstance(outcome, Raised)
    assert "RuntimeError: a secret path" in outcome.trace
    assert pid_of(guard.run(call("pid"))) == before


def test_a_segmentation_fault_kills_the_child_alone(guard: Guard) -> None:
    outcome = guard.run(call("read_address_zero"))
    assert isinstance(outcome, Crashed)
    assert outcome.how == "killed by SIGSEGV"
    assert "read_address_zero" in outcome.trace


def test_a_child_that_leaves_without_an_answer_crashed(guard: Guard) -> None:
    assert guard.run(call("exit_quietly")) == Crashed("ended with exit code 3", "")


@pytest.mark.parametrize("task", ["eat_memory", "eat_memory_bit_by_bit"])
def test_memory_ends_at_its_limit(guard: Guard, task: str) -> None:
    assert guard.run(call(task, megabytes=300)) == OutOfMemory(300 * MEBIBYTE)


def test_native_code_that_never_returns_is_killed_at_its_deadline(guard: Guard) -> None:
    guard.run(call("pid"))
    pids: list[bytes] = []
    started = time.monotonic()
    assert guard.run(call("spin_in_native_code", seconds=0.5), report=pids.append) == Overran(0.5)
    assert time.monotonic() - started < 2.5
    assert not psutil.pid_exists(int(pids[0]))


def test_native_code_that_never_returns_is_killed_when_nobody_wants_the_answer(guard: Guard) -> None:
    guard.run(call("pid"))
    pids: list[bytes] = []
    assert guard.run(call("spin_in_native_code"), stop=lambda: bool(pids), report=pids.append) == Stopped()
    assert not psutil.pid_exists(int(pids[0]))


def test_a_child_that_died_while_idle_is_not_the_next_calls_fault(guard: Guard) -> None:
    idle = psutil.Process(pid_of(guard.run(call("pid"))))
    idle.kill()
    psutil.wait_procs([idle], timeout=5)
    assert guard.run(call("echo", b"fine")) == Answered(b"fine")


def test_calls_from_several_threads_run_in_children_of_their_own(guard: Guard) -> None:
    with ThreadPoolExecutor(2) as threads:
        outcomes = list(threads.map(lambda _: guard.run(call("sleep_a_second")), range(2)))
    assert outcomes == [Answered(b"slept")] * 2


def test_a_child_outlives_the_thread_that_asked_for_it(guard: Guard) -> None:
    with ThreadPoolExecutor(1) as thread:
        first = pid_of(thread.submit(guard.run, call("pid")).result())
    time.sleep(0.2)
    assert psutil.pid_exists(first)


def test_no_child_outlives_a_parent_that_is_killed(tmp_path: Path) -> None:
    told = tmp_path / "pid"
    script = f"""
        import pathlib
        from service.engine.calls import Call
        from service.engine.guard import Guard
        call = Call(task="misbehaving_tasks:spin_in_native_code", payload=b"", seconds=99, memory=1 << 30)
        told = pathlib.Path({str(told)!r})
        Guard(modules=()).run(call, report=lambda pid: told.write_bytes(pid))
    """
    parent = subprocess.Popen(
        [sys.executable, "-c", textwrap.dedent(script)], env=os.environ | {"PYTHONPATH": str(TASKS)}
    )
    _wait_until(lambda: told.exists() and told.read_bytes() != b"")
    child = psutil.Process(int(told.read_bytes()))
    parent.kill()
    parent.wait()
    _wait_until(lambda: not child.is_running() or child.status() == psutil.STATUS_ZOMBIE)


def _wait_until(done: Callable[[], bool], seconds: float = 10) -> None:
    end = time.monotonic() + seconds
    while not done():
        assert time.monotonic() < end, "waited too long"
        time.sleep(0.02)


def test_a_child_sees_no_password(guard: Guard, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SCREENBATCH_DATABASE", "postgresql+psycopg://me:secret@db/jobs")
    monkeypatch.setenv("AWS_SECRET_ACCESS_KEY", "secret")
    fresh = Guard(modules=())
    outcome = fresh.run(call("environment"))
    fresh.close()
    assert isinstance(outcome, Answered)
    assert not {name for name in outcome.answer.decode().split() if name.startswith(("SCREENBATCH", "AWS"))}


@pytest.mark.parametrize(
    "written",
    [b"a" + (1 << 40).to_bytes(8, "big"), b"?" + bytes(8)],
    ids=["an answer larger than its memory", "no message at all"],
)
def test_nonsense_from_a_child_counts_as_its_crash(written: bytes) -> None:
    guard = Guard(modules=())
    outcome = guard.run(call("write_on_the_line", written))
    guard.close()
    assert isinstance(outcome, Crashed)
    assert outcome.how == "answered nonsense"
