"""A job over real HTTP, from upload to documents."""

import io
import json
import time
import zipfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import psutil
import pytest
from jsonschema import Draft202012Validator

from tests.service.running_service import RunningService, running_service

Answer = dict[str, Any]

TWO_WINDOWS = b"label,width,height\nA-101,33 1/4,47 3/8\nA-102,30,40\n"
INCHES = json.dumps({"unit": "in"})


@pytest.fixture(scope="module")
def service(tmp_path_factory: pytest.TempPathFactory) -> Iterator[RunningService]:
    with running_service(tmp_path_factory.mktemp("service") / "data") as service:
        yield service


@pytest.fixture(scope="module")
def done(service: RunningService) -> Answer:
    job = service.hand_in(TWO_WINDOWS, name="Block A.csv", settings=INCHES).json()["id"]
    return service.await_end(job, "done", "failed", "waiting")


def many_openings(count: int) -> bytes:
    """All different and awkward, so that solving takes its time."""
    rows = [f"W{n},{30 + n * 7 % 29} {n % 16}/16,{40 + n * 11 % 31} {n * 3 % 16}/16" for n in range(count)]
    return ("label,width,height\n" + "\n".join(rows)).encode()


def test_a_job_is_acknowledged_at_once_and_says_where_it_is(service: RunningService) -> None:
    answer = service.hand_in(TWO_WINDOWS, settings=INCHES)
    assert answer.status_code == 202
    assert answer.headers["location"] == f"/jobs/{answer.json()['id']}"
    assert answer.json()["state"] in {"queued", "checking"}


def test_a_finished_job_names_its_documents(done: Answer) -> None:
    assert (done["state"], done["trouble"]) == ("done", "")
    assert {"plan.json", "cut-plan.xlsx", "purchase-list.csv"} <= {document["name"] for document in done["documents"]}
    assert done["progress"]["done"] == done["progress"]["of"] == len(done["parts"])


def test_the_documents_are_what_they_say(service: RunningService, done: Answer) -> None:
    plan, workbook, purchases = (
        service.client.get(f"/jobs/{done['id']}/{name}") for name in ("plan.json", "cut-plan.xlsx", "purchase-list.csv")
    )
    schema = service.client.get("/schemas/plan.json").json()
    Draft202012Validator(schema).validate(plan.json())
    assert zipfile.ZipFile(io.BytesIO(workbook.content)).testzip() is None
    assert purchases.headers["content-type"] == "text/csv; charset=utf-8"
    assert 'filename="Block A cut-plan.xlsx"' in workbook.headers["content-disposition"]
    assert len(workbook.content) == next(d["size"] for d in done["documents"] if d["name"] == "cut-plan.xlsx")


def test_the_service_plans_exactly_what_the_command_line_plans(
    service: RunningService,
    done: Answer,
    tmp_path: Path,
) -> None:
    from click.testing import CliRunner

    from service.cli import screenbatch

    job = tmp_path / "Block A.csv"
    job.write_bytes(TWO_WINDOWS)
    ran = CliRunner().invoke(screenbatch, ["plan", str(job), "--out", str(tmp_path / "plan"), "--unit", "in"])
    assert ran.exit_code == 0, ran.output
    over_http = service.client.get(f"/jobs/{done['id']}/plan.json").json()
    assert json.loads((tmp_path / "plan" / "plan.json").read_text()) == over_http


def test_while_nothing_changed_the_answer_is_empty(service: RunningService, done: Answer) -> None:
    for path in (f"/jobs/{done['id']}", f"/jobs/{done['id']}/plan.json"):
        tag = service.client.get(path).headers["etag"]
        again = service.client.get(path, headers={"If-None-Match": tag})
        assert (again.status_code, again.content, again.headers["etag"]) == (304, b"", tag)


def test_a_job_can_be_followed_until_it_has_ended(service: RunningService) -> None:
    job = service.hand_in(TWO_WINDOWS, settings=INCHES).json()["id"]
    with service.client.stream("GET", f"/jobs/{job}/events", timeout=60) as stream:
        assert stream.headers["content-type"].startswith("text/event-stream")
        told = [json.loads(line[6:]) for line in stream.iter_lines() if line.startswith("data: ")]
    versions = [event["version"] for event in told]
    assert versions == sorted(set(versions))
    assert told[-1]["state"] == "done"
    assert service.client.get("/jobs/0000/events").status_code == 404


def test_who_has_heard_the_last_event_is_told_that_no_more_will_come(service: RunningService, done: Answer) -> None:
    path, heard = f"/jobs/{done['id']}/events", {"Last-Event-ID": str(done["version"])}
    again = service.client.get(path, headers=heard)
    assert (again.status_code, again.content) == (204, b"")
    missed = service.client.get(path, headers={"Last-Event-ID": str(done["version"] - 1)})
    assert missed.text.count("event: job") == 1


def test_a_job_can_come_as_json(service: RunningService, done: Answer) -> None:
    rows = [
        {"label": "A-101", "width": "33 1/4", "height": "47 3/8"},
        {"label": "A-102", "width": 30, "height": 40.0},
    ]
    document = {"settings": {"unit": "in", "name": "Block A"}, "sheets": {"openings": rows}}
    Draft202012Validator(service.client.get("/schemas/job.json").json()).validate(document)
    job = service.client.post("/jobs", json=document).raise_for_status().json()["id"]
    ended = service.await_end(job)
    assert ended["state"] == "done", ended
    as_json, as_text = (service.client.get(f"/jobs/{of}/plan.json").json() for of in (job, done["id"]))
    assert as_json["purchases"] == as_text["purchases"]


@pytest.mark.parametrize(
    "body", [b"{", b"[1]", b'{"sheets": {}}', b"[" * 100_000, b"\xff\xfe", b'{"sheets": {"a": [1]}}']
)
def test_json_that_is_no_job_is_refused_with_words(service: RunningService, body: bytes) -> None:
    refused = service.client.post("/jobs", content=body, headers={"Content-Type": "application/json"})
    assert refused.status_code == 422
    assert refused.json()["errors"][0]["where"].startswith("body")


def test_large_json_that_is_no_job_fails_with_words(service: RunningService) -> None:
    body = b'{"sheets": {"openings": [' + b'{"label": "A"},' * 100_000 + b"1]}}"
    accepted = service.client.post("/jobs", content=body, headers={"Content-Type": "application/json"})
    failed = service.await_end(accepted.raise_for_status().json()["id"])
    assert failed["state"] == "failed"
    assert "this JSON is no job" in failed["problems"][0]["message"]


def test_faults_in_json_are_named_by_cell(service: RunningService) -> None:
    document = {"settings": {"unit": "in"}, "sheets": {"openings": [{"label": "A", "width": "TBD", "height": 40}]}}
    failed = service.await_end(service.client.post("/jobs", json=document).json()["id"])
    assert [p["id"] for p in failed["problems"] if p["verdict"] == "error"] == ["openings!B2"]


def test_several_files_are_planned_as_one_job(service: RunningService) -> None:
    orders = [("file", (f"order {n}.csv", TWO_WINDOWS)) for n in (7, 8)]
    job = service.client.post("/jobs", files=orders, data={"settings": INCHES}).raise_for_status().json()["id"]
    ended = service.await_end(job)
    assert ended["state"] == "done", ended
    plan = service.client.get(f"/jobs/{job}/plan.json").text
    assert "order 7 A-101" in plan
    assert "order 8 A-102" in plan


def test_faults_in_several_files_are_named_by_file_and_cell(service: RunningService) -> None:
    orders = [("file", ("order 7.csv", TWO_WINDOWS)), ("file", ("order 8.csv", b"label,width,height\nA,TBD,40\n"))]
    job = service.client.post("/jobs", files=orders, data={"settings": INCHES}).raise_for_status().json()["id"]
    failed = service.await_end(job)
    errors = [p for p in failed["problems"] if p["verdict"] == "error"]
    assert [(error["sheet"].startswith("order 8 "), error["cell"]) for error in errors] == [(True, "B2")]


def test_errors_in_the_file_fail_the_job_cell_by_cell(service: RunningService) -> None:
    job = service.hand_in(b"label,width,height\nA,TBD,40\nB,30,N/A\n", settings=INCHES).json()["id"]
    failed = service.await_end(job)
    assert failed["state"] == "failed"
    errors = [problem for problem in failed["problems"] if problem["verdict"] == "error"]
    assert [error["cell"] for error in errors] == ["B2", "C3"]
    refused = service.client.get(f"/jobs/{job}/plan.json")
    assert refused.status_code == 409
    assert refused.json()["detail"] == "the job is failed; its documents are there when it is done"


def test_a_file_that_is_no_job_fails_with_words(service: RunningService) -> None:
    job = service.hand_in(b"PK\x03\x04 not a workbook", name="job.xlsx").json()["id"]
    failed = service.await_end(job)
    assert failed["state"] == "failed"
    assert len(failed["problems"]) == 1


def test_a_job_with_open_questions_waits_and_goes_on_with_the_answers(service: RunningService) -> None:
    job = service.hand_in(b'label,width,height\nA,"27,5",40\n', settings=INCHES).json()["id"]
    waiting = service.await_end(job)
    assert waiting["state"] == "waiting"
    questions = [problem for problem in waiting["problems"] if problem["verdict"] == "question"]
    assert [question["id"] for question in questions] == [f"{questions[0]['sheet']}!B2"]
    unknown = service.client.post(f"/jobs/{job}/answers", json={"answers": {"openings!Z99": "1"}})
    assert unknown.status_code == 409
    answered = service.client.post(f"/jobs/{job}/answers", json={"answers": {questions[0]["id"]: "27 1/2"}})
    assert answered.status_code == 202
    assert service.await_end(job, "done", "failed", "waiting")["state"] == "done"


def test_a_job_with_open_questions_goes_on_when_every_proposal_is_accepted(service: RunningService) -> None:
    job = service.hand_in(b'label,width,height\nA,"27,5",40\n', settings=INCHES).json()["id"]
    assert service.await_end(job)["state"] == "waiting"
    service.client.post(f"/jobs/{job}/answers", json={"accept_proposals": True}).raise_for_status()
    assert service.await_end(job, "done", "failed", "waiting")["state"] == "done"


def test_the_same_key_gives_the_same_job(service: RunningService) -> None:
    def hand_in(settings: str) -> tuple[int, str]:
        answer = service.client.post(
            "/jobs",
            files={"file": ("a.csv", TWO_WINDOWS)},
            data={"settings": settings},
            headers={"Idempotency-Key": "order 12"},
        )
        return answer.status_code, answer.json().get("id", "")

    first = hand_in(INCHES)
    assert hand_in(INCHES) == first
    assert hand_in('{"unit": "mm"}')[0] == 422


def test_pages_lead_through_all_jobs(service: RunningService) -> None:
    for _ in range(5):
        service.hand_in(b"label,width,height\n")
    seen, path = [], "/jobs?limit=2"
    while path:
        page = service.client.get(path).raise_for_status().json()
        seen += [job["id"] for job in page["jobs"]]
        path = page.get("next")
    assert len(seen) == len(set(seen)) >= 5


def test_what_the_service_measures_names_no_job(service: RunningService, done: Answer) -> None:
    page = service.client.get("/metrics").text
    assert 'screenbatch_jobs_ended_total{state="done"}' in page
    assert 'screenbatch_part_seconds_count{outcome="answered",task="solve"}' in page
    assert "screenbatch_queue_oldest_seconds" in page
    assert done["id"] not in page


def test_the_empty_workbook_can_be_fetched(service: RunningService) -> None:
    answer = service.client.get("/template.xlsx")
    assert zipfile.ZipFile(io.BytesIO(answer.content)).testzip() is None


@pytest.mark.slow
def test_cancelling_stops_the_processor_within_two_seconds(tmp_path: Path) -> None:
    with running_service(tmp_path / "data", slots="1") as service:
        settings = json.dumps({"unit": "in", "seconds": 60, "work": 10**9})
        job = service.hand_in(many_openings(3_000), settings=settings).json()["id"]
        service.await_end(job, "solving", seconds=60)
        children = psutil.Process(service.process.pid).children()
        time.sleep(1)
        assert service.client.delete(f"/jobs/{job}").json()["state"] == "cancelled"
        _, alive = psutil.wait_procs(children, timeout=2)
        assert alive == []


@pytest.mark.slow
def test_a_job_survives_a_restart_of_the_service(tmp_path: Path) -> None:
    with running_service(tmp_path / "data") as service:
        jobs = [service.hand_in(TWO_WINDOWS, settings=INCHES).json()["id"] for _ in range(3)]
        service.kill()
        service.restart()
        assert {service.await_end(job)["state"] for job in jobs} == {"done"}
