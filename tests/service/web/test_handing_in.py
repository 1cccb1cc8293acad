"""A job is handed in by a plain form; what was set is remembered; nobody else's site can do it."""

from __future__ import annotations

from pathlib import Path

import pytest
from httpx import Client

from service.api.office import TENANT
from service.engine.bundle import unpack
from service.jobs.records import Job
from service.web.hand_in import SAMPLE
from tests.service.web.office_in_memory import OfficeInMemory, browser

ROWS = b"label,width,height\nA,30,40\n"


def newest(office: OfficeInMemory) -> Job:
    return office.desk.jobs(TENANT)[0]


def test_a_file_handed_in_becomes_a_job_with_the_settings_of_the_form(client: Client, office: OfficeInMemory) -> None:
    before = office.woken
    form = {"unit": "mm", "currency": "EUR", "rule.kerf": "2.4 mm", "seconds": "10", "park_faulty_rows": "yes"}
    answer = client.post("/page/jobs", data=form, files={"file": ("C:\\jobs\\block A.csv", ROWS)})
    job = newest(office)
    assert answer.status_code == 303
    assert answer.headers["location"] == f"/page/jobs/{job.id}"
    assert job.upload.name == "block A.csv"
    assert office.files.get(job.upload.digest) == ROWS
    assert (job.settings.unit, job.settings.rules, job.settings.park_faulty_rows) == ("mm", {"kerf": "2.4 mm"}, True)
    assert office.woken == before + 1


def test_several_files_are_handed_in_as_one_job(client: Client, office: OfficeInMemory) -> None:
    client.post("/page/jobs", files=[("file", ("order 7.csv", ROWS)), ("file", ("order 8.csv", ROWS))])
    assert unpack(office.files.get(newest(office).upload.digest)) == {"order 7.csv": ROWS, "order 8.csv": ROWS}


def test_the_next_form_is_filled_in_with_the_last_settings(client: Client) -> None:
    client.post("/page/jobs", data={"unit": "mm", "rule.kerf": "2.4 mm"}, files={"file": ("a.csv", ROWS)})
    start = client.get("/").text
    assert '<option value="mm" selected>' in start
    assert 'value="2.4 mm"' in start


@pytest.mark.parametrize(
    ("form", "files", "message"),
    [
        ({}, {"file": ("", b"")}, "Choose a spreadsheet first."),
        ({}, {"file": ("a.csv", b"")}, "The file a.csv is empty."),
        ({"seconds": "soon"}, {"file": ("a.csv", ROWS)}, "time limit &#39;soon&#39;: write whole seconds"),
    ],
)
def test_a_form_that_cannot_be_used_comes_back_with_the_reason(
    client: Client, form: dict[str, str], files: dict[str, tuple[str, bytes]], message: str
) -> None:
    answer = client.post("/page/jobs", data=form, files=files)
    assert answer.status_code == 422
    assert message in answer.text
    assert 'role="alert"' in answer.text


def test_a_file_that_is_too_large_is_refused_in_words(tmp_path: Path) -> None:
    office = OfficeInMemory(tmp_path, upload_bytes=1 << 20)
    with browser(office.pages()) as client:
        sent = client.post("/page/jobs", files={"file": ("a.csv", b"x" * (3 << 20))})
    assert sent.status_code == 413
    assert office.desk.jobs(TENANT) == []


@pytest.mark.parametrize(
    "headers",
    [{"Sec-Fetch-Site": "cross-site"}, {"Sec-Fetch-Site": "same-site"}, {"Origin": "https://elsewhere.example"}],
)
def test_a_form_of_another_site_is_refused(client: Client, office: OfficeInMemory, headers: dict[str, str]) -> None:
    before = len(office.desk.jobs(TENANT))
    sent = client.post("/page/jobs", files={"file": ("a.csv", ROWS)}, headers=headers)
    assert sent.status_code == 403
    assert len(office.desk.jobs(TENANT)) == before


def test_the_list_of_jobs_goes_on_page_by_page(tmp_path: Path) -> None:
    office = OfficeInMemory(tmp_path)
    for number in range(60):
        office.job(f"Job number {number:02}")
    with browser(office.pages()) as client:
        first = client.get("/page/jobs").text
        assert first.count("Job number") == 50
        assert "Job number 59" in first
        older = first.split("/page/jobs?before=")[1].split('"')[0]
        second = client.get(f"/page/jobs?before={older}").text
    assert second.count("Job number") == 10
    assert "Job number 00" in second
    assert "Older jobs</a>" not in second


def test_what_users_wrote_is_never_taken_for_markup(client: Client, office: OfficeInMemory) -> None:
    office.job("<script>alert(1)</script>")
    assert "<script>alert" not in client.get("/page/jobs").text


def test_every_page_forbids_script_and_style_from_elsewhere(client: Client) -> None:
    policy = client.get("/").headers["content-security-policy"]
    assert "default-src 'none'" in policy
    assert "unsafe" not in policy


def test_what_stands_beside_the_pages_is_kept_by_the_browser_until_it_changes(client: Client) -> None:
    start = client.get("/").text
    address = start.split('stylesheet" href="')[1].split('"')[0]
    kept = client.get(address)
    assert kept.headers["content-type"] == "text/css; charset=utf-8"
    assert "immutable" in kept.headers["cache-control"]
    assert client.get("/static/old/page.css").headers["cache-control"] == "no-cache"
    assert client.get("/static/old/rendering.py").status_code == 404


def test_the_sample_that_ships_with_the_program_is_the_one_in_the_samples() -> None:
    samples = Path(__file__).parents[3] / "sample_jobs"
    assert SAMPLE.read_bytes() == (samples / SAMPLE.name).read_bytes()
