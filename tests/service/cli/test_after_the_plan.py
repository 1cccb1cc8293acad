"""The commands for what comes after the first plan, on small files."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import Result

from tests.service.small_job import small_sheets

SHEETS = small_sheets(bronze=True)


@pytest.fixture
def job(tmp_path: Path) -> Path:
    path = tmp_path / "job.json"
    path.write_text(json.dumps({"settings": {"unit": "in", "currency": "USD"}, "sheets": SHEETS}), encoding="utf-8")
    return path


@pytest.fixture
def plan(job: Path, run: Callable[..., Result], tmp_path: Path) -> Path:
    run("plan", job, "--out", tmp_path / "first", "--no-papers")
    return tmp_path / "first"


def test_a_miscut_on_the_command_line_gives_the_next_revision(
    plan: Path, run: Callable[..., Result], tmp_path: Path
) -> None:
    out = tmp_path / "second"
    words = "miscut; opening=A-1; place=left; length=40"
    shown = run("replan", plan, "--event", "stick cut; number=1", "--event", words, "--out", out).output
    assert shown.startswith("Revision 1: ")
    names = {p.name for p in out.iterdir()}
    assert {"revision.json.gz", "difference.json", "difference.txt", "plan.json", "stick-sheets.pdf"} <= names
    assert json.loads((out / "difference.json").read_text(encoding="utf-8"))["revision"] == 1
    third = run("replan", out, "--event", "everything cut", "--out", tmp_path / "third", "--json").output
    assert json.loads(third)["to_cut"] == []


def test_a_sheet_of_events_is_taken_too(plan: Path, run: Callable[..., Result], tmp_path: Path) -> None:
    sheet = tmp_path / "floor.csv"
    sheet.write_text("event,opening,quantity\nchange order,A-2,2\n", encoding="utf-8")
    shown = run("replan", plan, "--events", sheet, "--out", tmp_path / "second").output
    # One stick more and what the others leave: the top rail of A-1 moves to make room.
    assert "  1 x 8 ft\n" in shown


def test_an_event_that_cannot_have_happened_ends_with_1(plan: Path, run: Callable[..., Result], tmp_path: Path) -> None:
    shown = run("replan", plan, "--event", "stick cut; number=9", "--out", tmp_path / "second", code=1).output
    assert "the plan has no stick 9" in shown


def test_what_is_no_plan_is_wrong_usage(job: Path, run: Callable[..., Result], tmp_path: Path) -> None:
    shown = run("replan", job, "--event", "everything cut", "--out", tmp_path / "second", code=2).output
    assert "this is no revision" in shown


def test_a_lost_label_is_found_by_length(plan: Path, run: Callable[..., Result]) -> None:
    shown = run("lost-label", plan, "45 3/4").output
    assert "A-1 copy 1 left: 45 3/4 (exact), 5/16 white, to be cut from stick" in shown
    assert "no rail of this plan is that long" in run("lost-label", plan, "12", code=1).output


def test_shares_add_up_to_the_plan(plan: Path, run: Callable[..., Result]) -> None:
    lines = list(csv.DictReader(io.StringIO(run("shares", plan).output)))
    assert [line["order"] for line in lines] == ["1", "2"]
    document = json.loads((plan / "plan.json").read_text(encoding="utf-8"))
    assert f"{sum(float(line['total']) for line in lines):.2f}" == document["money"]["total"]


def test_the_order_due_first_is_cut_first(plan: Path, run: Callable[..., Result], tmp_path: Path) -> None:
    shown = run("cutting-order", plan, "--due", "2=2026-12-01", "--out", tmp_path / "ordered").output
    assert shown.strip().endswith("finished in this order: 2, 1")
    assert "write ORDER=2026-12-01" in run("cutting-order", plan, "--due", "2", "--out", tmp_path / "x", code=2).output


def test_phases_show_the_price_of_the_difference(job: Path, run: Callable[..., Result], tmp_path: Path) -> None:
    shown = run("phases", job, "--out", tmp_path / "phases").output
    assert "the difference is 0.00 USD" in shown
    assert (tmp_path / "phases" / "2" / "plan.json").is_file()


def test_choices_stand_side_by_side(job: Path, run: Callable[..., Result]) -> None:
    words = ("--choice", "16 ft: stick=5/16,white,16 ft,10.00", "--choice", "bronze: colour=bronze; spares=5")
    lines = run("what-if", job, *words).output.splitlines()
    assert [line.split("  ")[0] for line in lines] == ["as it is", "16 ft   ", "bronze  "] or len(lines) == 3
    outcomes = json.loads(run("what-if", job, *words, "--json").output)
    assert [outcome["more_than_first_cents"] for outcome in outcomes] == [None, -1_200, 400]


def test_a_choice_nobody_knows_is_refused(job: Path, run: Callable[..., Result]) -> None:
    assert "write one of stick, without" in run("what-if", job, "--choice", "x: bigger=1", code=1).output


def test_a_budget_before_measuring_is_a_range(job: Path, run: Callable[..., Result]) -> None:
    lines = run("estimate", job, "--play", "0 in", "--count-play", "0", "--recuts", "0").output.splitlines()
    assert [line.split()[:2] for line in lines[:3]] == [["low", "92.00"], ["likely", "92.00"], ["high", "92.00"]]


def test_stock_that_is_out_names_openings_and_what_stands_in(job: Path, run: Callable[..., Result]) -> None:
    shown = run("substitute", job, "--stock", "8 ft").output
    assert shown.startswith("2 openings have pieces of 8 ft: A-1, A-2")
    assert "colour bronze" in shown
    assert "no stick, roll or kit is called 9 ft" in run("substitute", job, "--stock", "9 ft", code=2).output


def test_the_rack_from_the_command_line(plan: Path, run: Callable[..., Result], tmp_path: Path) -> None:
    store = ("--data", tmp_path / "data", "--unit", "in")
    sheet = tmp_path / "offcuts.csv"
    sheet.write_text("profile,colour,length\n5/16,white,60\n5/16,white,11\n", encoding="utf-8")
    assert "1 are too small" in run("rack", "add", sheet, *store).output
    code = run("rack", "list", *store, "--length", "50").output.split()[0]
    assert "0 reserved for job 1; 2 expected from it" in run("rack", "reserve", plan, *store, "--job", "job 1").output
    expected = run("rack", "list", *store, "--state", "expected").output.splitlines()
    back = tmp_path / "measured.csv"
    back.write_text(f"name,length\n{expected[0].split()[0]},30 1/2\n", encoding="utf-8")
    assert "30 1/2 in  free" in run("rack", "measured", back, *store).output
    run("rack", "release", *store, "--job", "job 1")
    assert run("rack", "list", *store, "--state", "expected").output == ""
    assert "scrapped" in run("rack", "scrap", code, *store).output
    assert "not to be had" in run("rack", "scrap", code, *store, code=1).output
    assert "20 in" in run("rack", "rules", *store, "--least-stick", "20 in").output
    listed = tmp_path / "rack.csv"
    run("rack", "list", *store, "--to", listed)
    assert len(listed.read_text(encoding="utf-8-sig").splitlines()) == 2
