"""Whatever is uploaded ends in a clear message within ten seconds and a gigabyte, and the caller lives on."""

import json
from collections.abc import Iterator
from pathlib import Path

import pytest

from service.engine.calls import Answered, Call
from service.engine.guard import Guard
from service.machine_memory import MEBIBYTE
from tests.service.sheets.hostile_files import HOSTILE

TASKS = Path(__file__).parent / "child_tasks"


@pytest.fixture(scope="module")
def guard() -> Iterator[Guard]:
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("PYTHONPATH", str(TASKS))
        guard = Guard(modules=("service.sheets.read",))
        yield guard
        guard.close()


@pytest.mark.slow
@pytest.mark.parametrize("name", HOSTILE)
def test_a_hostile_file_ends_in_a_clear_message(tmp_path: Path, guard: Guard, name: str) -> None:
    build, expected = HOSTILE[name]
    path = build(tmp_path)
    call = Call(task="reading_tasks:said", payload=str(path).encode(), seconds=10, memory=1024 * MEBIBYTE)
    outcome = guard.run(call)
    assert isinstance(outcome, Answered), outcome
    lines = json.loads(outcome.answer)
    assert lines
    assert any(expected in line for line in lines), lines
