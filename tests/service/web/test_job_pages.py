"""A job's page in each of its states, and what its forms do."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest
from httpx import Client

from service.api.office import TENANT
from service.deliverables import PAGE_LOOKUP
from service.jobs.records import Attachment, Job, JobState, Part, PartState, Task
from service.sheets.findings import Finding, Verdict
from tests.service.web.office_in_memory import OfficeInMemory


def question(cell: str, proposal: str = "3/8", kind: str = "date") -> Finding:
    return Finding(
        sheet="openings",
        cell=cell,
        verdict=Verdict.QUESTION,
        message="8 March is a date; was 3/8 in meant?",
        text="8-Mar",
        proposal=proposal,
        kind=kind,
    )


ERROR = Finding(sheet="openings", cell="C17", verdict=Verdict.ERROR, message="thirty is no tape reading", text="thirty")


def now(office: OfficeInMemory, job: Job) -> Job:
    return office.desk.job(TENANT, job.id)


def newest(office: OfficeInMemory) -> Job:
    return office.desk.jobs(TENANT)[0]


def test_a_faulty_cell_is_shown_with_its_address_its_text_and_what_to_write(
    client: Client, office: OfficeInMemory
) -> None:
    job = office.job("Faulty", JobState.FAILED, findings=(ERROR,))
    page = client.get(f"/page/jobs/{job.id}").text
    for text in ("openings!C17", "thirty", "thirty is no tape reading"):
        assert text in page


def test_one_proposal_is_taken_with_one_button(client: Client, office: OfficeInMemory) -> None:
    job = office.waiting_job(question("C7"), question("C8"))
    client.post(f"/page/jobs/{job.id}/answers", data={"take": "openings!C8"})
    assert now(office, job).settings.answers == {"openings!C8": "3/8"}
    assert now(office, job).state is JobState.QUEUED


def test_all_proposals_alike_are_taken_with_one_button(client: Client, office: OfficeInMemory) -> None:
    job = office.waiting_job(question("C7"), question("C8"), question("D9", "27 5/8", "comma"))
    client.post(f"/page/jobs/{job.id}/answers", data={"take_kind": "date"})
    assert now(office, job).settings.answers == {"every date": "accept"}


def test_all_proposals_are_taken_with_one_button_and_what_was_written_goes_first(
    client: Client, office: OfficeInMemory
) -> None:
    job = office.waiting_job(question("C7"), question("D9", "27 5/8", "comma"))
    client.post(f"/page/jobs/{job.id}/answers", data={"take_all": "yes", "cell.openings!C7": "5/8"})
    assert now(office, job).settings.answers == {"openings!C7": "5/8"}
    assert now(office, job).settings.accept_proposals


def test_what_was_written_is_sent(client: Client, office: OfficeInMemory) -> None:
    job = office.waiting_job(question("C7"))
    client.post(f"/page/jobs/{job.id}/answers", data={"cell.openings!C7": "7/16", "answer": "yes"})
    assert now(office, job).settings.answers == {"openings!C7": "7/16"}


def test_sending_nothing_changes_nothing(client: Client, office: OfficeInMemory) -> None:
    job = office.waiting_job(question("C7"))
    sent = client.post(f"/page/jobs/{job.id}/answers", data={"cell.openings!C7": "", "answer": "yes"})
    assert sent.headers["location"] == f"/page/jobs/{job.id}"
    assert now(office, job) == job


def test_parking_plans_the_same_file_anew_without_the_faulty_rows(client: Client, office: OfficeInMemory) -> None:
    job = office.waiting_job(question("C7"), question("C8"))
    sent = client.post(f"/page/jobs/{job.id}/answers", data={"park": "yes", "cell.openings!C7": "3/8"})
    new = newest(office)
    assert sent.headers["location"] == f"/page/jobs/{new.id}"
    assert new.upload == job.upload
    assert new.settings.park_faulty_rows
    assert new.settings.answers == {"openings!C7": "3/8"}
    assert now(office, job).state is JobState.CANCELLED


def test_a_job_that_failed_on_a_cell_goes_on_with_what_was_written(client: Client, office: OfficeInMemory) -> None:
    job = office.job("Faulty", JobState.FAILED, findings=(ERROR, question("C7")))
    client.post(f"/page/jobs/{job.id}/answers", data={"cell.openings!C17": "30", "take_all": "yes"})
    assert newest(office).settings.answers == {"openings!C17": "30"}
    assert newest(office).settings.accept_proposals
    assert now(office, job).state is JobState.FAILED


def test_progress_is_fetched_only_when_something_changed(client: Client, office: OfficeInMemory) -> None:
    job = office.job("Under way", JobState.SOLVING)
    solving = Part(
        id=f"{job.id}-1",
        job=job.id,
        tenant=TENANT,
        number=1,
        name="rails 5/16 white",
        task=Task.SOLVE,
        turn=0,
        state=PartState.RUNNING,
        cost=1_010,
        bound=1_000,
    )
    office.put_parts(solving)
    page = client.get(f"/page/jobs/{job.id}").text
    assert 'role="status"' in page
    assert "at most 1 % above the best possible" in page
    assert '<noscript><meta http-equiv="refresh"' in page
    address = f"/page/jobs/{job.id}/progress?version="
    assert client.get(f"{address}{job.version}").status_code == 204
    changed = client.get(f"{address}{job.version - 1}")
    assert changed.headers["x-job-version"] == str(job.version)
    assert "at most 1 % above" in changed.text
    assert "<html" not in changed.text


@pytest.mark.parametrize("state", [JobState.DONE, JobState.FAILED, JobState.CANCELLED, JobState.WAITING])
def test_progress_that_has_come_to_rest_leads_on(client: Client, office: OfficeInMemory, state: JobState) -> None:
    job = office.job("At rest", state)
    assert client.get(f"/page/jobs/{job.id}/progress").headers["x-next-page"] == f"/page/jobs/{job.id}"


def test_a_plan_is_shown_while_its_papers_are_being_written(
    client: Client, office: OfficeInMemory, planned: Job
) -> None:
    job = office.job("Nearly", JobState.SOLVING, documents=planned.documents)
    page = client.get(f"/page/jobs/{job.id}").text
    assert "What to buy" in page
    assert "The plan is ready; its papers are being written." in page
    assert '<noscript><meta http-equiv="refresh"' in page
    address = f"/page/jobs/{job.id}/progress"
    assert client.get(address).headers["x-next-page"] == f"/page/jobs/{job.id}"
    assert "x-next-page" not in client.get(f"{address}?plan=shown").headers


def test_a_plan_whose_papers_failed_is_shown_with_the_reason(
    client: Client, office: OfficeInMemory, planned: Job
) -> None:
    job = office.job("No papers", JobState.FAILED, documents=planned.documents, trouble="papers: out of memory.")
    page = client.get(f"/page/jobs/{job.id}").text
    assert "papers: out of memory. The plan itself is complete." in page
    assert "What to buy" in page


def test_a_plan_of_another_version_still_offers_its_files(
    client: Client, office: OfficeInMemory, tmp_path: Path
) -> None:
    old = sqlite3.connect(tmp_path / "old.sqlite")
    old.execute("PRAGMA user_version = 99")
    old.close()
    content = (tmp_path / "old.sqlite").read_bytes()
    lookup = Attachment(name=PAGE_LOOKUP.name, digest=office.files.put(content), size=len(content))
    plan = Attachment(name="plan.json", digest=office.files.put(b"{}"), size=2)
    job = office.job("Old", JobState.DONE, documents=(lookup, plan))
    page = client.get(f"/page/jobs/{job.id}").text
    assert f'href="/jobs/{job.id}/plan.json"' in page
    assert "Plan the same file again" in page
    assert client.get(f"/page/jobs/{job.id}/sticks").status_code == 409


def test_a_job_can_be_cancelled_and_planned_again(client: Client, office: OfficeInMemory) -> None:
    job = office.job("Stop")
    client.post(f"/page/jobs/{job.id}/cancel")
    assert now(office, job).state is JobState.CANCELLED
    assert "Cancelled." in client.get(f"/page/jobs/{job.id}").text
    client.post(f"/page/jobs/{job.id}/again")
    assert newest(office).upload == job.upload


def test_searching_longer_is_five_times_the_time_and_the_work_an_hour_at_most(
    client: Client, office: OfficeInMemory
) -> None:
    job = office.job("Longer", JobState.DONE)
    client.post(f"/page/jobs/{job.id}/again", data={"longer": "yes"})
    usual, longer = job.settings, newest(office).settings
    assert (longer.seconds, longer.work) == (5 * usual.seconds, 5 * usual.work)
    for _ in range(3):
        client.post(f"/page/jobs/{newest(office).id}/again", data={"longer": "yes"})
    assert newest(office).settings.seconds == 3_600


def test_a_job_that_is_done_cannot_be_cancelled_any_more(client: Client, planned: Job) -> None:
    late = client.post(f"/page/jobs/{planned.id}/cancel")
    assert late.status_code == 409
    assert "That came too late" in late.text


@pytest.mark.parametrize("path", ["", "/sticks", "/openings/1", "/checks"])
def test_a_job_that_is_not_there_is_said_on_a_page(client: Client, path: str) -> None:
    missing = client.get(f"/page/jobs/0123456789{path}")
    assert missing.status_code == 404
    assert missing.headers["content-type"].startswith("text/html")


def test_trouble_of_a_part_is_named(client: Client, office: OfficeInMemory) -> None:
    job = office.job("Trouble", JobState.FAILED, trouble="A part failed for good.")
    office.put_parts(
        Part(
            id=f"{job.id}-1",
            job=job.id,
            tenant=TENANT,
            number=1,
            name="mesh glass",
            task=Task.SOLVE,
            turn=0,
            state=PartState.FAILED,
            trouble="It ran out of memory three times.",
        )
    )
    page = client.get(f"/page/jobs/{job.id}").text
    assert "mesh glass" in page
    assert "It ran out of memory three times." in page
