"""Errors over real HTTP: always problem details, never a path or a stack."""

import json
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import httpx
import psutil
import pytest
from jsonschema import Draft202012Validator

from tests.service.running_service import RunningService, running_service


@pytest.fixture(scope="module")
def service(tmp_path_factory: pytest.TempPathFactory) -> Iterator[RunningService]:
    with running_service(tmp_path_factory.mktemp("service") / "data", upload_mb="1", queue_cap="1000") as service:
        yield service


def problem(answer: httpx.Response, status: int) -> dict[str, object]:
    assert answer.status_code == status, answer.text
    assert answer.headers["content-type"] == "application/problem+json"
    details: dict[str, object] = answer.json()
    assert details["status"] == status
    assert {"type", "title"} <= set(details)
    assert "/work" not in answer.text
    assert "Traceback" not in answer.text
    return details


@pytest.mark.parametrize("path", ["/nothing", "/jobs/0123456789abcdef01234567", "/jobs/x/plan.json", "/jobs/%00"])
def test_what_is_not_there_is_said_so(service: RunningService, path: str) -> None:
    problem(service.client.get(path), 404)


def test_a_method_that_is_not_allowed_is_said_so(service: RunningService) -> None:
    assert "GET" in service.client.put("/jobs").headers["allow"]
    problem(service.client.put("/jobs"), 405)


def test_a_job_must_come_as_a_form_with_a_file(service: RunningService) -> None:
    problem(service.client.post("/jobs", content=b"label,width"), 415)
    details = problem(service.client.post("/jobs", files={"other": b""}), 422)
    assert details["errors"] == [{"where": "file", "message": "a job file is needed in the form field 'file'"}]


def test_a_form_that_breaks_off_is_refused(service: RunningService) -> None:
    headers = {"content-type": "multipart/form-data; boundary=x"}
    problem(service.client.post("/jobs", content=b"--x\r\nContent-Disposition: form-data; na", headers=headers), 422)
    problem(service.client.post("/jobs", content=b"-", headers={"content-type": "multipart/form-data"}), 400)


@pytest.mark.parametrize(
    ("settings", "where"),
    [
        ('{"unit": "ell"}', "settings.unit"),
        ('{"sceconds": 3}', "settings.sceconds"),
        ('{"seconds": 0}', "settings.seconds"),
        ("not json", "settings"),
        ("[]", "settings"),
    ],
)
def test_settings_that_make_no_sense_are_named(service: RunningService, settings: str, where: str) -> None:
    errors = problem(service.hand_in(b"a", settings=settings), 422)["errors"]
    assert isinstance(errors, list)
    assert [error["where"] for error in errors] == [where]


def test_an_upload_over_the_cap_is_refused_by_its_announced_length(service: RunningService) -> None:
    details = problem(service.hand_in(b"x" * (3 << 20)), 413)
    assert details["detail"] == "a request may have 2 MB; split the job into smaller ones"


def test_an_upload_over_the_cap_is_refused_as_it_arrives(service: RunningService) -> None:
    def endless() -> Iterator[bytes]:
        yield b'--x\r\nContent-Disposition: form-data; name="file"; filename="a.csv"\r\n\r\n'
        for _ in range(64):
            yield b"x" * (1 << 16)

    headers = {"content-type": "multipart/form-data; boundary=x"}
    problem(service.client.post("/jobs", content=endless(), headers=headers), 413)


@pytest.mark.parametrize("query", ["limit=0", "limit=many", "after=%7B%7D", "after=AAAA", "state=lost"])
def test_a_list_asked_for_wrongly_is_said_so(service: RunningService, query: str) -> None:
    problem(service.client.get(f"/jobs?{query}"), 422)


def test_every_answer_keeps_a_browser_in_bounds(service: RunningService) -> None:
    for path in ("/health/live", "/nothing"):
        headers = service.client.get(path).headers
        assert headers["x-content-type-options"] == "nosniff"
        assert "frame-ancestors 'none'" in headers["content-security-policy"]
        assert "server" not in headers


def test_the_schema_of_the_plan_is_published(service: RunningService) -> None:
    answer = service.client.get("/schemas/plan.json")
    assert answer.headers["content-type"] == "application/schema+json"
    Draft202012Validator.check_schema(answer.json())


def test_the_api_describes_itself_with_examples(service: RunningService) -> None:
    document = service.client.get("/openapi.json").json()
    assert {"/jobs", "/jobs/{job_id}", "/jobs/{job_id}/plan.json", "/template.xlsx"} <= set(document["paths"])
    upload = document["paths"]["/jobs"]["post"]["requestBody"]["content"]["multipart/form-data"]
    assert upload["example"]["file"] == ["openings.xlsx"]
    assert "example" in document["components"]["schemas"]["JobOut"]
    declared = set(document["components"]["schemas"])
    mentioned = {part.partition('"')[0] for part in json.dumps(document).split('"#/components/schemas/')[1:]}
    assert mentioned <= declared


def test_a_body_that_is_held_in_memory_may_be_small_alone(tmp_path: Path) -> None:
    """Read at one go, 20 MB of JSON would keep everybody else waiting."""
    body = b'{"answers": {"a": "' + b"x" * (20 << 20) + b'"}}'
    with running_service(tmp_path / "data") as large:
        refused = large.client.post("/jobs/ab/answers", content=body, headers={"content-type": "application/json"})
        problem(refused, 413)
        taken = large.client.post("/jobs", content=body, headers={"content-type": "application/json"})
        assert taken.status_code == 202


@pytest.mark.slow
def test_large_uploads_at_once_go_to_disk_and_not_into_memory(tmp_path: Path) -> None:
    with running_service(tmp_path / "data", slots="1") as large:
        process = psutil.Process(large.process.pid)
        before = process.memory_info().rss
        body = b'{"sheets": {"openings": [' + b'{"label": "A"},' * 1_300_000 + b"1]}}"

        def upload(number: int) -> int:
            json_job = {"content-type": "application/json"}
            with httpx.Client(base_url=large.client.base_url, timeout=60) as client:
                return client.post("/jobs", content=body + b" " * number, headers=json_job).status_code

        with ThreadPoolExecutor(12) as senders:
            assert set(senders.map(upload, range(12))) == {202}
        assert process.memory_info().rss - before < 10 * len(body), "12 uploads are not held side by side"
