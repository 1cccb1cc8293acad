"""The pages for what comes after the plan, as a browser without script sees them."""

from __future__ import annotations

import html
import re

from httpx import Client

from service.jobs.records import Job, JobKind, JobState, Task
from tests.service.web.office_in_memory import OfficeInMemory


def told(answer_text: str) -> str:
    return html.unescape(re.sub(r"<[^>]+>", " ", answer_text))


def test_what_happened_is_noted_line_by_line_and_sent_as_one_revision(
    client: Client, office: OfficeInMemory, planned: Job
) -> None:
    floor = f"/page/jobs/{planned.id}/floor"
    assert "Nothing yet" in client.get(floor).text
    first = client.post(floor, data={"do": "note", "cut.numbers.rails 5/16 white": "1"})
    assert "number 1" in told(first.text)
    (event,) = re.findall(r'name="event" value="([^"]+)"', first.text)
    sent = {"do": "plan", "event": html.unescape(event), "miscut.code": "B1-101-LR left", "miscut.length": "20"}
    answer = client.post(floor, data=sent)
    assert answer.status_code == 303
    job = office.desk.job(planned.tenant, answer.headers["location"].rpartition("/")[2])
    assert (job.kind, job.parent, job.state) == (JobKind.REVISION, planned.id, JobState.QUEUED)
    assert [event["event"] for event in office.after.events_of(job.tenant, job.id)] == ["stick cut", "miscut"]
    assert office.desk.view(job.tenant, job.id).parts[0].task is Task.REVISE
    # Once a revision is under way the old plan says so, and a refused one gives its report back.
    assert "a later revision holds" in client.get(floor).text
    office.put(job.moved(JobState.FAILED, job.changed))
    refused = client.get(f"/page/jobs/{job.id}").text
    assert f"/page/jobs/{planned.id}/floor?again={job.id}" in refused
    assert "B1-101-LR left" in told(client.get(f"{floor}?again={job.id}").text)


def test_a_half_told_event_changes_nothing_and_is_kept(client: Client, planned: Job) -> None:
    answer = client.post(f"/page/jobs/{planned.id}/floor", data={"do": "plan", "miscut.code": "B1-101-LR left"})
    assert answer.status_code == 422
    assert "miscut: length missing" in told(answer.text)
    assert 'value="B1-101-LR left"' in answer.text


def test_an_empty_report_is_no_revision(client: Client, planned: Job) -> None:
    answer = client.post(f"/page/jobs/{planned.id}/floor", data={"do": "plan"})
    assert (answer.status_code, "Nothing is noted yet" in told(answer.text)) == (422, True)


def test_a_question_becomes_a_job_of_its_own(client: Client, office: OfficeInMemory, planned: Job) -> None:
    answer = client.post(f"/page/jobs/{planned.id}/compare", data={"do": "choices", "turned": "yes"})
    job = office.desk.job(planned.tenant, answer.headers["location"].rpartition("/")[2])
    assert (job.kind, job.name) == (JobKind.QUESTION, f"{planned.name}, what if")
    nothing = client.post(f"/page/jobs/{planned.id}/compare", data={"do": "choices"})
    assert "Choose at least one thing" in nothing.text


def test_answers_are_shown_side_by_side(client: Client, office: OfficeInMemory) -> None:
    outcome = {"name": "as it is", "total_cents": 1_000, "bound_cents": 1_000, "more_than_first_cents": None}
    waste = {"sticks": 3, "rail_waste": 0.05, "mesh_waste": 0.1, "trouble": ""}
    turned = outcome | {"name": "mesh turned", "total_cents": 900, "more_than_first_cents": -100}
    document = {
        "question": {"kind": "what if"},
        "answer": [outcome | waste, turned | waste],
        "currency": "USD",
    }
    job = office.answered(document)
    page = told(client.get(f"/page/jobs/{job.id}").text)
    assert "10.00 USD" in page
    assert "1.00 USD less" in page


def test_a_revision_under_way_says_that_what_is_cut_stays(client: Client, office: OfficeInMemory) -> None:
    job = office.job("Maple Court, next revision", JobState.SOLVING, kind=JobKind.REVISION)
    assert "Planning the rest again; what is cut stays." in client.get(f"/page/jobs/{job.id}").text
    office.answered({"question": {"kind": "what if"}, "answer": [], "currency": ""})
    assert "Answered" in told(client.get("/page/jobs").text)


def test_the_rack_is_searched_measured_and_cleared(client: Client, office: OfficeInMemory) -> None:
    laid = client.post("/page/rack", data={"do": "add", "new.profile": "5/16", "new.length": "60 in"})
    assert laid.status_code == 303
    page = client.get("/page/rack?length=50+in").text
    (code,) = re.findall(r'name="code" value="(L[0-9A-Z]{8})"', page)
    assert code not in client.get("/page/rack?length=61+in").text
    assert code in client.get("/page/rack/leftovers.csv").text
    gone = client.post("/page/rack", data={"do": "scrap", "code": code})
    assert "1 thrown away" in html.unescape(client.get(gone.headers["location"]).text)
    assert office.rack.at_hand("local") == []


def test_a_bare_number_on_the_rack_is_asked_about(client: Client) -> None:
    answer = client.post("/page/rack", data={"do": "add", "new.profile": "5/16", "new.length": "60"})
    assert (answer.status_code, "write 60 in or 60 mm" in told(answer.text)) == (422, True)
    said = client.post("/page/rack", data={"do": "add", "new.profile": "5/16", "new.length": "1500", "unit": "mm"})
    assert said.status_code == 303


def test_a_budget_needs_a_count_and_rough_sizes(client: Client, office: OfficeInMemory, planned: Job) -> None:
    half = client.post("/page/budget", data={"do": "types", "count.0": "12"})
    assert "width and height missing" in told(half.text)
    whole = {"do": "types", "count.0": "12", "width.0": "30", "height.0": "48", "model": planned.id}
    answer = client.post("/page/budget", data=whole)
    job = office.desk.job(planned.tenant, answer.headers["location"].rpartition("/")[2])
    assert job.kind is JobKind.QUESTION


def test_the_setting_to_use_the_rack_is_taken_and_remembered(client: Client, office: OfficeInMemory) -> None:
    files = {"file": ("openings.csv", b"label,width,height\nA,30,40\n")}
    answer = client.post("/page/jobs", files=files, data={"use_rack": "yes"})
    job = office.desk.job("local", answer.headers["location"].rpartition("/")[2])
    assert job.settings.use_rack
    assert re.search(r'name="use_rack" value="yes" checked', client.get("/").text)


def test_leftovers_of_a_plan_that_holds_are_given_back_only_if_nobody_will_cut_it(client: Client, planned: Job) -> None:
    refused = client.post(f"/page/jobs/{planned.id}/rack", data={"do": "give back"})
    assert refused.status_code == 422
    assert "This plan still holds" in refused.text
    given = client.post(f"/page/jobs/{planned.id}/rack", data={"do": "give back", "unwanted": "yes"})
    assert given.status_code == 303
