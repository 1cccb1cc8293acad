"""A finished plan on its pages: everything is found, nothing is more than its page holds."""

from __future__ import annotations

import html
import re
from dataclasses import replace

import pytest
from httpx import Client

from service.jobs.records import Job, JobState
from solver.lengths import Unit, mm
from solver.openings import Datum, Parked
from solver.plan import Plan
from solver.solve import solve
from tests.builders import limits, opening
from tests.service.web.office_in_memory import OfficeInMemory
from tests.service.web.planned_jobs import block_problem, large_plan, solved_block


@pytest.fixture(scope="module")
def plan() -> Plan:
    return solved_block()[1]


def text_of(page: str) -> str:
    """What a person reads of a page."""
    seen = re.sub(r"<(title|style|script).*?</\1>", "", page, flags=re.S)
    apart = re.sub(r"</(td|th|li|p|h\d|dd|dt|div)>", " ", seen)
    return " ".join(html.unescape(re.sub(r"<[^>]+>", "", apart)).split())


def test_the_summary_leads_with_cost_saving_and_certainty(client: Client, planned: Job, plan: Plan) -> None:
    page = text_of(client.get(f"/page/jobs/{planned.id}").text)
    assert plan.total is not None
    total = f"{plan.total // 100}.{plan.total % 100:02} USD"
    assert page.index(total) < page.index("saved against planning by hand") < page.index("Proven")
    assert page.index("Read before cutting and fitting") < page.index("What to buy")
    assert all(notice.message in page for notice in plan.notices)


def test_every_document_is_offered_but_the_lookup_file(client: Client, planned: Job) -> None:
    page = client.get(f"/page/jobs/{planned.id}").text
    offered = re.findall(rf'href="/jobs/{planned.id}/([^"]+)"', page)
    assert offered == ["stick-sheets.pdf", "cut-plan.xlsx", "purchase-list.csv", "plan.json", "revision.json.gz"]


def test_every_stick_is_drawn_and_every_first_rail_is_labelled(client: Client, planned: Job, plan: Plan) -> None:
    page = client.get(f"/page/jobs/{planned.id}/sticks").text
    drawings = re.findall(r'<svg class="stick" role="img"[^>]*aria-labelledby="(stick-\d+-title)"', page)
    assert drawings
    assert all(f'id="{title}"' in page for title in drawings)
    first = plan.stick_groups[0].sticks[0]
    assert text_of(page).count(f"{first.rails[0].opening} {first.rails[0].place.value}") == 1


def test_a_stick_number_leads_to_its_drawing(client: Client, planned: Job, plan: Plan) -> None:
    last = plan.stick_groups[0].sticks[-1].number
    found = client.get(f"/page/jobs/{planned.id}/sticks", params={"group": 0, "stick": str(last)})
    assert found.status_code == 303
    assert "#run-" in found.headers["location"]
    missed = client.get(f"/page/jobs/{planned.id}/sticks", params={"group": 0, "stick": "99999"})
    assert "There is no stick 99999 in this group." in missed.text


def test_drawings_that_hold_an_opening_are_filtered_and_marked(client: Client, planned: Job) -> None:
    page = client.get(f"/page/jobs/{planned.id}/sticks", params={"q": "type c"}).text
    assert 'class="wanted"' in page
    assert len(re.findall(r'<li id="run-', page)) < len(
        re.findall(r'<li id="run-', client.get(f"/page/jobs/{planned.id}/sticks").text)
    )


def test_the_label_of_a_piece_is_found_with_its_stick(client: Client, planned: Job) -> None:
    page = text_of(client.get(f"/page/jobs/{planned.id}/openings", params={"q": "B1-204-LR left"}).text)
    assert re.search(r"B1-204-LR left is cut from rails 5/16 white, stick \d+, cut \d", page)


def test_an_opening_shows_its_arithmetic_and_where_each_piece_is_cut(client: Client, planned: Job, plan: Plan) -> None:
    page = text_of(client.get(f"/page/jobs/{planned.id}/openings/1").text)
    assert all(line in page for line in plan.screens[0].arithmetic)
    assert "Seen from inside the room, to scale" in page
    assert "B1-101-LR mesh" in page


def test_crosscuts_say_what_to_do_at_the_table(client: Client, planned: Job) -> None:
    page = text_of(client.get(f"/page/jobs/{planned.id}/mesh").text)
    assert re.search(r"Cut off [\d /]+ in, rip [\d /,]+ in wide(, then trim each strip to its blanks)?\.", page)


@pytest.mark.parametrize("path", ["/sticks/1", "/mesh/1", "/leftovers", "/checks", "/openings?q=nothing+like+it"])
def test_the_other_pages_are_there(client: Client, planned: Job, path: str) -> None:
    assert client.get(f"/page/jobs/{planned.id}{path}").status_code == 200


@pytest.mark.parametrize("path", ["/sticks/0", "/mesh/99999", "/openings/99999", "/openings/first"])
def test_what_is_not_in_the_plan_is_said(client: Client, planned: Job, path: str) -> None:
    assert client.get(f"/page/jobs/{planned.id}{path}").status_code == 404


def test_a_plan_is_not_shown_before_it_is_done(client: Client, office: OfficeInMemory) -> None:
    job = office.job("Under way", JobState.SOLVING)
    assert client.get(f"/page/jobs/{job.id}/sticks").status_code == 409


def test_a_metric_job_is_shown_in_millimetres(client: Client, office: OfficeInMemory) -> None:
    window = opening(
        "W1", widths=(mm(900),), heights=(mm(1_200),), width_datum=Datum.FINISHED, height_datum=Datum.FINISHED
    )
    metric = block_problem(window, unit=Unit.MM)
    job = office.planned_job(metric, solve(metric, limits()))
    page = text_of(client.get(f"/page/jobs/{job.id}/openings", params={"q": "W1"}).text)
    assert "900 mm 1200 mm" in page


def test_a_large_plan_is_shown_a_page_at_a_time(client: Client, office: OfficeInMemory) -> None:
    job = office.planned_job(*large_plan(2_000))
    sticks = client.get(f"/page/jobs/{job.id}/sticks", params={"group": 0}).text
    assert sticks.count('<svg class="stick"') == 50
    assert "4,000 drawings, page 1 of 80" in text_of(sticks)
    openings = client.get(f"/page/jobs/{job.id}/openings", params={"page": 20}).text
    assert openings.count('<th scope="row">') == 100
    assert len(sticks) < 200_000


def test_rows_left_out_are_said_first_and_listed_with_their_reasons(client: Client, office: OfficeInMemory) -> None:
    row = Parked(
        label="B1-105-K", building="B1", unit="105", read="thirty", source="openings!9", reasons=("C9: no reading",)
    )
    problem, plan = solved_block()
    job = office.planned_job(replace(problem, parked=(row,)), plan)
    summary = text_of(client.get(f"/page/jobs/{job.id}").text)
    assert summary.index("1 row is not in this plan") < summary.index("What to buy")
    page = text_of(client.get(f"/page/jobs/{job.id}/re-measure").text)
    assert "B1-105-K B1 · 105 openings!9 thirty C9: no reading" in page
