"""Plans and revisions on the command line that take their leftovers from the rack by themselves."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import Result

from tests.service.small_job import small_sheets

SHEETS = small_sheets(1)


@pytest.fixture
def job(tmp_path: Path) -> Path:
    path = tmp_path / "job.json"
    path.write_text(json.dumps({"settings": {"unit": "in"}, "sheets": SHEETS}), encoding="utf-8")
    return path


@pytest.fixture
def store(tmp_path: Path, run: Callable[..., Result]) -> tuple[str, Path]:
    """A rack with two sticks of 46 1/4 in, each long enough for one long rail."""
    sheet = tmp_path / "offcuts.csv"
    sheet.write_text("profile,colour,length (in),count\n5/16,white,46 1/4,2\n", encoding="utf-8")
    store = ("--data", tmp_path / "data")
    run("rack", "add", sheet, *store)
    return store


def states(run: Callable[..., Result], store: tuple[str, Path], state: str) -> list[str]:
    lines = run("rack", "list", *store, "--state", state).output.splitlines()
    return [line.split()[0] for line in lines if "5/16" in line]


def test_a_plan_takes_its_leftovers_and_a_revision_uses_and_frees_them(
    job: Path, run: Callable[..., Result], store: tuple[str, Path], tmp_path: Path
) -> None:
    first, second = tmp_path / "first", tmp_path / "second"
    run("plan", job, "--out", first, "--no-papers", "--rack", "4711", *store)
    codes = states(run, store, "reserved")
    assert len(codes) == 2
    plan = json.loads((first / "plan.json").read_text(encoding="utf-8"))
    sticks = {stick["stock"]: stick["number"] for group in plan["stick_groups"] for stick in group["sticks"]}
    cut, lost = codes
    events = ("--event", f"stick cut; number={sticks[cut]}", "--event", f"not there; stock={lost}")
    shown = run("replan", first, *events, "--out", second, "--rack", "4711", *store).output
    assert "  1 x 8 ft\n" in shown
    assert (states(run, store, "used"), states(run, store, "scrapped")) == ([cut], [lost])


def test_another_job_finds_only_what_is_left(
    job: Path, run: Callable[..., Result], store: tuple[str, Path], tmp_path: Path
) -> None:
    run("plan", job, "--out", tmp_path / "one", "--no-papers", "--rack", "one", *store)
    run("plan", job, "--out", tmp_path / "two", "--no-papers", "--rack", "two", *store)
    mine = {
        line.split("reserved ")[1].split()[0]
        for line in run("rack", "list", *store, "--state", "reserved").output.splitlines()
    }
    assert mine == {"one"}


def test_a_bag_that_lacked_two_corners_gives_a_list_of_parts_and_a_lost_label_is_printed(
    job: Path, run: Callable[..., Result], tmp_path: Path
) -> None:
    run("plan", job, "--out", tmp_path / "first", "--no-papers")
    event = "missing part; opening=A-1; part=corner; quantity=2"
    run("replan", tmp_path / "first", "--event", event, "--out", tmp_path / "second")
    assert (tmp_path / "second" / "parts-to-send.pdf").read_bytes().startswith(b"%PDF")
    run("lost-label", tmp_path / "first", "45 3/4", "--labels", tmp_path / "labels.pdf")
    assert (tmp_path / "labels.pdf").read_bytes().startswith(b"%PDF")


def test_bare_lengths_on_the_rack_are_asked_about(run: Callable[..., Result], tmp_path: Path) -> None:
    sheet = tmp_path / "offcuts.csv"
    sheet.write_text("profile,colour,length\n5/16,white,60\n", encoding="utf-8")
    store = ("--data", tmp_path / "data")
    assert "inches or millimetres?" in run("rack", "add", sheet, *store, code=1).output
    assert "60 in" in run("rack", "add", sheet, *store, "--unit", "in").output
    assert "write 50 in or 50 mm" in run("rack", "list", *store, "--length", "50", code=1).output


def test_a_measured_leftover_is_cut_by_one_job_only(
    job: Path, run: Callable[..., Result], store: tuple[str, Path], tmp_path: Path
) -> None:
    first, second, third = (tmp_path / name for name in ("first", "second", "third"))
    run("plan", job, "--out", first, "--no-papers", "--rack", "4711", *store)
    run("replan", first, "--event", "everything cut", "--out", second, "--rack", "4711", *store)
    expected = run("rack", "list", *store, "--state", "expected").output.splitlines()
    roll_end = next(line.split()[0] for line in expected if "glass" in line)
    sheet = tmp_path / "measured.csv"
    sheet.write_text(f"name,length (in)\n{roll_end},1100\n", encoding="utf-8")
    run("rack", "measured", sheet, *store)
    added = "added; opening=A-9; like=A-1; width=33 1/4; height=47 3/8"
    run("replan", second, "--event", added, "--out", third, "--rack", "4711", *store)
    plan = json.loads((third / "plan.json").read_text(encoding="utf-8"))
    assert [roll["stock"] for group in plan["roll_groups"] for roll in group["rolls"]] == [roll_end]
