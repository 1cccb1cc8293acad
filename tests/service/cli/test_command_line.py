"""The command line as a person or a script uses it."""

import json
import os
import pty
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from service.cli import screenbatch

TWO_WINDOWS = "label,width,height\nA-101,33 1/4,47 3/8\nA-102,30,40\n"


@pytest.fixture
def job(tmp_path: Path) -> Path:
    path = tmp_path / "two windows.csv"
    path.write_text(TWO_WINDOWS)
    return path


def ran(*arguments: str | Path, given: str | None = None) -> Result:
    return CliRunner().invoke(screenbatch, [str(argument) for argument in arguments], input=given)


def test_a_good_job_is_planned_into_a_folder(job: Path, tmp_path: Path) -> None:
    result = ran("plan", job, "--out", tmp_path / "new" / "plan", "--unit", "in")
    assert result.exit_code == 0, result.output
    assert result.stdout.startswith("two windows: 2 openings")
    written = {path.name for path in (tmp_path / "new" / "plan").iterdir()}
    assert {"plan.json", "cut-plan.xlsx", "purchase-list.csv"} <= written


def test_the_summary_can_be_read_by_a_program(job: Path, tmp_path: Path) -> None:
    result = ran("plan", job, "--out", tmp_path, "--unit", "in", "--json")
    assert result.exit_code == 0, result.output
    assert isinstance(json.loads(result.stdout), dict)


def test_a_faulty_job_gives_its_cells_and_no_plan(tmp_path: Path) -> None:
    job = tmp_path / "job.csv"
    job.write_text("label,width,height\nA,TBD,40\nB,30,N/A\n")
    result = ran("plan", job, "--out", tmp_path / "plan", "--unit", "in")
    assert result.exit_code == 1
    assert "B2" in result.stderr
    assert "C3" in result.stderr
    assert result.stdout == ""
    assert not (tmp_path / "plan").exists()


def test_a_check_prints_findings_and_readings_as_json(job: Path) -> None:
    result = ran("check", job, "--json", "--unit", "in")
    assert result.exit_code == 0
    assert json.loads(result.stdout) == {
        "findings": [],
        "openings": [
            {"label": "A-101", "width_mm": [844.55], "height_mm": [1203.325]},
            {"label": "A-102", "width_mm": [762], "height_mm": [1016]},
        ],
    }


def test_a_check_ends_with_1_at_an_open_question(tmp_path: Path) -> None:
    job = tmp_path / "job.csv"
    job.write_text('label,width,height\nA,"27,5",40\n')
    result = ran("check", job, "--json", "--unit", "in")
    assert result.exit_code == 1
    (finding,) = (f for f in json.loads(result.stdout)["findings"] if f["verdict"] == "question")
    assert set(finding) == {"sheet", "cell", "verdict", "message", "proposal"}
    assert finding["cell"] == "B2"
    assert finding["proposal"]


def test_an_answer_or_an_accepted_proposal_settles_a_question(tmp_path: Path) -> None:
    job = tmp_path / "job.csv"
    job.write_text('label,width,height\nA,"27,5",40\n')
    asked = json.loads(ran("check", job, "--json", "--unit", "in").stdout)["findings"]
    cell = next(f"{f['sheet']}!{f['cell']}" for f in asked if f["verdict"] == "question")
    assert ran("check", job, "--unit", "in", "--answer", f"{cell}=27 1/2").exit_code == 0
    assert ran("check", job, "--unit", "in", "--accept-proposals").exit_code == 0


def test_a_job_can_come_from_standard_input(tmp_path: Path) -> None:
    command = [sys.executable, "-m", "service", "check", "-", "--unit", "in"]
    done = subprocess.run(command, input=TWO_WINDOWS.encode(), capture_output=True, check=False)
    assert done.returncode == 0, done.stderr


@pytest.mark.parametrize(
    "arguments",
    [
        ("plan", "no such file.xlsx", "--out", "plan"),
        ("plan", "JOB"),
        ("plan", "JOB", "--out", "plan", "--unit", "ell"),
        ("plan", "JOB", "--out", "plan", "--seconds", "0"),
        ("plan", "JOB", "--out", "plan", "--rule", "kerf"),
        ("template", "job.csv"),
        ("template", "no such folder/job.xlsx"),
        ("no-such-command",),
    ],
)
def test_wrong_usage_ends_with_2(job: Path, arguments: tuple[str, ...]) -> None:
    result = ran(*(job if argument == "JOB" else argument for argument in arguments))
    assert result.exit_code == 2, result.output


def test_a_folder_that_cannot_be_written_is_wrong_usage(job: Path, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    assert ran("plan", job, "--unit", "in", "--out", tmp_path / "file" / "plan").exit_code == 2


def test_settings_can_come_from_a_file_and_options_go_before_it(job: Path, tmp_path: Path) -> None:
    settings = tmp_path / "settings.json"
    settings.write_text(json.dumps({"unit": "mm", "name": "from the file"}))
    result = ran("plan", job, "--out", tmp_path, "--settings", settings, "--unit", "in")
    assert result.exit_code == 0, result.output
    assert result.stdout.startswith("from the file")


def test_a_shop_rule_changes_the_plan(job: Path, tmp_path: Path) -> None:
    ran("plan", job, "--out", tmp_path / "plain", "--unit", "in")
    ran("plan", job, "--out", tmp_path / "ruled", "--unit", "in", "--rule", "bottoms_clearance=1/4 in")
    plain, ruled = ((tmp_path / name / "plan.json").read_text() for name in ("plain", "ruled"))
    assert plain != ruled


def test_the_template_is_a_workbook_that_says_how_to_go_on(tmp_path: Path) -> None:
    result = ran("template", tmp_path / "job.xlsx")
    assert result.exit_code == 0, result.output
    assert (tmp_path / "job.xlsx").read_bytes().startswith(b"PK")
    assert "screenbatch plan" in result.stdout


def test_help_names_every_command() -> None:
    result = ran("--help")
    assert {"plan", "check", "template", "serve"} <= set(result.stdout.split())


def test_progress_is_shown_on_a_terminal_and_nowhere_else(job: Path, tmp_path: Path) -> None:
    command = [sys.executable, "-m", "service", "plan", str(job), "--out", str(tmp_path), "--unit", "in"]
    piped = subprocess.run(command, capture_output=True, check=True)
    assert piped.stderr == b""
    ours, theirs = pty.openpty()
    subprocess.run(command, stdout=subprocess.DEVNULL, stderr=theirs, check=True)
    os.close(theirs)
    shown = os.read(ours, 10_000)
    os.close(ours)
    assert b"solving" in shown
