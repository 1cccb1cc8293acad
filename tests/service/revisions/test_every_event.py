"""Every row of the table of events is taken from the command line, over HTTP and from the page."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

import pytest
from click.testing import CliRunner

from service.cli import screenbatch
from service.web.event_form import noted
from tests.service.revisions.every_event import EVERY_EVENT, SHEETS
from tests.service.running_service import RunningService, running_service

JOB = {"settings": {"unit": "in"}, "sheets": SHEETS}


@pytest.fixture(scope="module")
def plan(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("plan")
    (folder / "job.json").write_text(json.dumps(JOB), encoding="utf-8")
    made = CliRunner().invoke(
        screenbatch, ["plan", str(folder / "job.json"), "--out", str(folder / "plan"), "--no-papers"]
    )
    assert made.exit_code == 0, made.output
    return folder / "plan"


@pytest.fixture(scope="module")
def service(tmp_path_factory: pytest.TempPathFactory) -> Iterator[RunningService]:
    with running_service(tmp_path_factory.mktemp("service") / "data") as service:
        yield service


@pytest.fixture(scope="module")
def planned(service: RunningService) -> str:
    job = service.await_end(service.hand_in(json.dumps(JOB).encode(), name="job.json").json()["id"])
    assert job["state"] == "done", job
    return str(job["id"])


@pytest.mark.slow
@pytest.mark.parametrize("row", EVERY_EVENT)
def test_from_the_command_line(plan: Path, tmp_path: Path, row: str) -> None:
    event = EVERY_EVENT[row][0]
    # A value with several readings holds a semicolon, which parts the words of --event: a sheet has no such limit.
    table = tmp_path / "events.csv"
    table.write_text(
        ",".join(event) + "\n" + ",".join(f'"{value}"' for value in event.values()) + "\n", encoding="utf-8"
    )
    done = CliRunner().invoke(
        screenbatch, ["replan", str(plan), "--events", str(table), "--out", str(tmp_path / "next")]
    )
    assert done.exit_code == 0, done.output
    assert done.output.startswith("Revision 1: ")


TOGETHER = (
    ("mesh cut as planned", "scanned as cut", "miscut short"),
    ("cut as planned", "roll flaw", "mis-measured", "one more opening"),
    ("damaged stick", "spoilt blank", "change of quantity"),
    ("listed leftover not there", "short delivery", "change of colour"),
    ("everything cut", "short shipment, a rail", "short shipment, a bag"),
    ("change of mesh",),
    ("cancelled unit",),
)
"""Rows that may happen together, so that a few revisions cover all."""


@pytest.mark.slow
@pytest.mark.parametrize("rows", TOGETHER, ids=lambda rows: rows[0])
def test_over_http(service: RunningService, planned: str, rows: tuple[str, ...]) -> None:
    events = [EVERY_EVENT[row][0] for row in rows]
    answer = service.client.post(f"/jobs/{planned}/revisions", json={"events": events})
    assert answer.status_code == 202, answer.text
    job = service.await_end(answer.json()["id"])
    assert job["state"] == "done", job
    assert service.client.get(f"/jobs/{job['id']}/difference").json()["revision"] == 1
    service.client.post(f"/jobs/{job['id']}/take-back").raise_for_status()


def test_no_row_is_left_out_over_http() -> None:
    assert {row for rows in TOGETHER for row in rows} == set(EVERY_EVENT)


@pytest.mark.parametrize("row", EVERY_EVENT)
def test_from_the_page(row: str) -> None:
    event, form = EVERY_EVENT[row]
    assert noted(form, ()) == [event]
