"""Whatever file a command is given, it ends in clear words, and the file is read in another process."""

import json
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from service.cli import screenbatch
from service.cli.reading import check_job, read_job
from service.engine.calls import (
    Call,
    Crashed,
    Lost,
    Outcome,
    OutOfMemory,
    Overran,
    Raised,
    Report,
    Stop,
)
from service.engine.guard import Guard, never, unheard
from service.errors import PartFailedError
from service.job_settings import JobSettings
from service.machine_memory import MEBIBYTE
from tests.service.sheets.hostile_files import HOSTILE

TOLD_BY_THE_COMMAND = [name for name, (_, words) in HOSTILE.items() if words and words != "1 openings"]


def ran(*arguments: str | Path) -> Result:
    return CliRunner().invoke(screenbatch, [str(argument) for argument in arguments])


@pytest.fixture
def job(tmp_path: Path) -> Path:
    path = tmp_path / "job.csv"
    path.write_text("label,width (in),height (in)\nA,30,40\n")
    return path


@pytest.fixture(autouse=True)
def _own_memory(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "kept"))


@pytest.mark.slow
@pytest.mark.parametrize("name", TOLD_BY_THE_COMMAND)
def test_a_check_of_a_hostile_file_ends_in_clear_words(tmp_path: Path, name: str) -> None:
    build, words = HOSTILE[name]
    result = ran("check", build(tmp_path), "--unit", "in")
    assert result.exit_code in (0, 1)
    assert words in result.stdout


@pytest.mark.parametrize("name", ["entities that multiply", "a workbook with a password", "a billion repeated cells"])
def test_a_plan_of_a_hostile_file_ends_in_clear_words(tmp_path: Path, name: str) -> None:
    build, words = HOSTILE[name]
    result = ran("plan", build(tmp_path), "--out", tmp_path / "plan")
    assert result.exit_code == 1
    assert words in result.stderr
    assert not (tmp_path / "plan").exists()


def test_a_hostile_sheet_of_leftovers_ends_in_clear_words(tmp_path: Path) -> None:
    build, words = HOSTILE["a workbook with a password"]
    result = ran("rack", "add", build(tmp_path), "--data", tmp_path / "rack")
    assert result.exit_code == 1
    assert words in result.stderr


class Fragile(Guard):
    """A guard whose child goes the way a test wants."""

    def __init__(self, outcome: Outcome) -> None:
        super().__init__()
        self._outcome = outcome

    def run(self, call: Call, stop: Stop = never, report: Report = unheard) -> Outcome:
        return self._outcome


@pytest.mark.parametrize(
    ("outcome", "words"),
    [
        (OutOfMemory(1024 * MEBIBYTE), "takes over 1024 MB of memory"),
        (Overran(10), "takes over 10 s"),
        (Crashed("killed by SIGSEGV", ""), "ended the process that read it (killed by SIGSEGV)"),
        (Raised("Traceback\nKeyError: 'x'\n"), "a fault of this program (KeyError: 'x')"),
    ],
)
def test_a_reader_that_does_not_survive_the_file_is_a_finding(job: Path, outcome: Outcome, words: str) -> None:
    paths, guard = [(job.name, job)], Fragile(outcome)
    checked = check_job(paths, JobSettings(), as_json=True, mark=True, guard=guard)
    (finding,) = json.loads(checked.text)["findings"]
    assert finding["verdict"] == "error"
    assert words in finding["message"]
    assert not checked.usable
    assert checked.marked is None
    read = read_job(paths, JobSettings(), guard=guard)
    assert [words in found.message for found in read.findings] == [True]
    assert not read.usable


def test_a_machine_without_room_for_a_child_is_no_fault_of_the_file(job: Path) -> None:
    with pytest.raises(PartFailedError, match="no process left"):
        read_job([(job.name, job)], JobSettings(), guard=Fragile(Lost("no process left")))


def test_the_command_itself_never_parses_a_file(job: Path) -> None:
    program = (
        "import sys; from service.cli import screenbatch; "
        f"screenbatch(['check', {str(job)!r}], standalone_mode=False); "
        "print([name for name in sys.modules if name in ('service.sheets.files', 'service.sheets.csv_file')])"
    )
    said = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True, timeout=60)
    assert said.stdout.splitlines()[-1] == "[]"


def test_more_than_any_job_holds_is_not_taken_from_standard_input() -> None:
    too_much = b"label,width,height\n" + b"A,30,40\n" * (9 * MEBIBYTE)
    result = CliRunner().invoke(screenbatch, ["check", "-"], input=too_much)
    assert result.exit_code == 1
    assert "the file has 68 MB, the most is 67 MB" in result.stdout
