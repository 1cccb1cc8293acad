"""Checking from the command line: the file back with its marks, and column mappings that are remembered."""

from pathlib import Path

import openpyxl
import pytest
from click.testing import CliRunner, Result

from service.cli import screenbatch
from service.cli.remembered import memory

FAULTY = "label,width (in),height (in)\nA,TBD,40\nB,30,40\n"
FOREIGN = "kenn,x1,x2\nA,27 5/8,40\n"
WORDS = ("--column", "label=kenn", "--column", "width=x1", "--column", "height=x2")


@pytest.fixture(autouse=True)
def _own_memory(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))


def ran(*arguments: str | Path) -> Result:
    return CliRunner().invoke(screenbatch, [str(argument) for argument in arguments])


def file(folder: Path, text: str, name: str = "job.csv") -> Path:
    path = folder / name
    path.write_text(text)
    return path


def test_a_check_gives_the_file_back_with_its_faults_marked(tmp_path: Path) -> None:
    out = tmp_path / "checked.xlsx"
    result = ran("check", file(tmp_path, FAULTY), "--checked", out)
    assert result.exit_code == 1
    assert openpyxl.load_workbook(out)["openings"]["E2"].value.startswith("B2: TBD is no length")


def test_a_file_that_cannot_be_read_is_not_given_back(tmp_path: Path) -> None:
    result = ran("check", file(tmp_path, "<html></html>"), "--checked", tmp_path / "checked.xlsx")
    assert result.exit_code == 1
    assert "is not written" in result.stderr
    assert not (tmp_path / "checked.xlsx").exists()


def test_a_mapping_is_remembered_for_the_next_file_of_its_shape(tmp_path: Path) -> None:
    first = file(tmp_path, FOREIGN)
    assert ran("check", first).exit_code == 1
    assert ran("check", first, *WORDS).exit_code == 0
    again = ran("check", file(tmp_path, FOREIGN.replace("A,27", "B,30"), "next.csv"))
    assert again.exit_code == 0
    assert "columns as they were given for a table of this shape" in again.stdout


def test_a_broken_memory_is_no_memory(tmp_path: Path) -> None:
    memory().parent.mkdir(parents=True)
    memory().write_text("[]")
    assert ran("check", file(tmp_path, FAULTY)).exit_code == 1
    memory().write_text("not json")
    assert ran("check", file(tmp_path, FOREIGN), *WORDS).exit_code == 0


def test_rows_that_only_sizing_refuses_are_parked_too(tmp_path: Path) -> None:
    job = file(tmp_path, "label,width (in),height (in),slot\nA,30,40,3/8\nB,30,40,1/16\n")
    assert ran("check", job).exit_code == 1
    parked = ran("check", job, "--park-faulty-rows")
    assert parked.exit_code == 0, parked.output
    assert "row set aside to be measured again" in parked.stdout
    planned = ran("plan", job, "--park-faulty-rows", "--out", tmp_path / "plan", "--no-papers")
    assert planned.exit_code == 0, planned.output
