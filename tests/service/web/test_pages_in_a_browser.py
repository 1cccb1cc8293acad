"""Every page in a real browser: readable by everyone, at phone width, in light and dark, by keyboard."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import Any

import pytest
from playwright.sync_api import Browser, expect

from service.jobs.records import Job, JobState, Part, PartState, Task
from service.sheets.findings import Finding, Verdict
from tests.service.web.browser import DESK, PHONE, hindrances, launched, opened, wider_than_the_window
from tests.service.web.office_in_memory import OfficeInMemory, served
from tests.service.web.test_job_pages import ERROR, now, question

pytestmark = pytest.mark.slow

LOOKS: dict[str, tuple[dict[str, Any], tuple[str, ...]]] = {
    "on a desk": ({"viewport": DESK}, ()),
    "in the dark": ({"viewport": DESK, "color_scheme": "dark"}, ("color-contrast", "link-in-text-block")),
    "on a phone": ({"viewport": PHONE, "has_touch": True}, ("target-size", "scrollable-region-focusable")),
}
"""How a window is set up, and the rules that this bears on; none named means all."""


@pytest.fixture(scope="module")
def browser(program: Callable[[str], str]) -> Iterator[Browser]:
    with launched(program("chromium")) as started:
        yield started


@pytest.fixture(scope="module")
def address(office: OfficeInMemory) -> Iterator[str]:
    with served(office.pages()) as at:
        yield at


@pytest.fixture(scope="module")
def solving(office: OfficeInMemory) -> Job:
    job = office.job("Under way", JobState.SOLVING)
    words: dict[str, Any] = {"job": job.id, "tenant": job.tenant, "turn": 0, "task": Task.SOLVE}
    office.put_parts(
        Part(id=f"{job.id}-1", number=1, name="rails 5/16 white", state=PartState.RUNNING, cost=101, bound=99, **words),
        Part(id=f"{job.id}-2", number=2, name="mesh glass", state=PartState.QUEUED, **words),
    )
    return job


@pytest.fixture(scope="module")
def pages(office: OfficeInMemory, planned: Job, solving: Job) -> dict[str, str]:
    notice = Finding(sheet="openings", cell="", verdict=Verdict.NOTICE, message="3 blank rows were skipped")
    waiting = office.waiting_job(*(question(f"C{row}") for row in range(7, 22)), question("D9", "", ""), notice)
    failed = office.job("Faulty", JobState.FAILED, findings=(ERROR, question("C7")), trouble="It cannot be planned.")
    plan = f"/page/jobs/{planned.id}"
    return {
        "start": "/",
        "jobs": "/page/jobs",
        "questions": f"/page/jobs/{waiting.id}",
        "errors": f"/page/jobs/{failed.id}",
        "progress": f"/page/jobs/{solving.id}",
        "summary": plan,
        "sticks": f"{plan}/sticks?q=type+c",
        "stick": f"{plan}/sticks/1",
        "mesh": f"{plan}/mesh",
        "crosscut": f"{plan}/mesh/1",
        "openings": f"{plan}/openings?q=B1-204-LR+left",
        "opening": f"{plan}/openings/25",
        "leftovers": f"{plan}/leftovers",
        "checks": f"{plan}/checks",
        "missing": "/page/jobs/0123",
        "key": "/key",
    }


@pytest.mark.parametrize("look", LOOKS)
def test_no_page_hinders_anybody(browser: Browser, address: str, pages: dict[str, str], look: str) -> None:
    settings, rules = LOOKS[look]
    with opened(browser, address, **settings) as page:
        for name, path in pages.items():
            page.goto(path)
            page.evaluate("for (const details of document.querySelectorAll('details')) details.open = true")
            assert (name, hindrances(page, *rules)) == (name, [])


def test_no_page_is_wider_than_a_phone(browser: Browser, address: str, pages: dict[str, str]) -> None:
    with opened(browser, address, viewport=PHONE) as page:
        wide = []
        for name, path in pages.items():
            page.goto(path)
            if wider_than_the_window(page):
                wide.append(name)
        assert wide == []


def test_dark_is_dark_and_light_is_light(browser: Browser, address: str) -> None:
    def ground(scheme: str) -> int:
        with opened(browser, address, color_scheme=scheme) as page:
            page.goto("/")
            colour = page.evaluate("getComputedStyle(document.body).backgroundColor")
            return sum(int(part) for part in colour.removeprefix("rgb(").removesuffix(")").split(","))

    assert ground("dark") < 150
    assert ground("light") > 600


def test_the_first_tab_skips_to_the_content(browser: Browser, address: str, pages: dict[str, str]) -> None:
    with opened(browser, address) as page:
        page.goto(pages["summary"])
        page.keyboard.press("Tab")
        expect(page.get_by_role("link", name="Skip to the content")).to_be_focused()
        page.keyboard.press("Enter")
        expect(page.locator("main")).to_be_focused()


def test_every_control_can_be_reached_by_keyboard(browser: Browser, address: str) -> None:
    with opened(browser, address) as page:
        page.goto("/")
        reached = set()
        for _ in range(30):
            page.keyboard.press("Tab")
            reached.add(page.evaluate("document.activeElement.name || document.activeElement.innerText.trim()"))
        assert {"file", "name", "unit", "currency", "seconds", "park_faulty_rows", "Check and plan"} <= reached


def test_enter_in_a_field_sends_what_was_written_and_takes_no_proposal(
    browser: Browser, address: str, office: OfficeInMemory
) -> None:
    job = office.waiting_job(question("C7"), question("C8"))
    with opened(browser, address) as page:
        page.goto(f"/page/jobs/{job.id}")
        page.get_by_label("openings!C7").fill("7/16")
        page.keyboard.press("Enter")
        expect(page.get_by_role("status")).to_contain_text("Waiting for its turn")
    assert now(office, job).settings.answers == {"openings!C7": "7/16"}


def test_one_button_takes_all_questions_alike(browser: Browser, address: str, office: OfficeInMemory) -> None:
    job = office.waiting_job(question("C7"), question("C8"), question("D9", "27 5/8", "comma"))
    with opened(browser, address) as page:
        page.goto(f"/page/jobs/{job.id}")
        expect(page.get_by_role("heading", name="2 questions alike")).to_be_visible()
        page.get_by_role("button", name="Take these 2 proposals").click()
        page.wait_for_load_state()
    assert now(office, job).settings.answers == {"every date": "accept"}


def test_a_dropped_file_is_chosen_and_a_missed_drop_harms_nothing(browser: Browser, address: str) -> None:
    dropped = """(selector) => {
        const transfer = new DataTransfer();
        transfer.items.add(new File(["label,width,height\\nA,30,40\\n"], "block A.csv"));
        for (const kind of ["dragenter", "dragover", "drop"]) {
            const event = new DragEvent(kind, { dataTransfer: transfer, bubbles: true, cancelable: true });
            document.querySelector(selector).dispatchEvent(event);
            if (kind === "dragover" && !event.defaultPrevented) throw new Error("the page would be replaced");
        }
    }"""
    with opened(browser, address) as page:
        page.goto("/")
        page.evaluate(dropped, "footer")
        expect(page.get_by_text("Chosen:")).to_have_count(0)
        page.evaluate(dropped, "[data-drop]")
        expect(page.get_by_text("Chosen: block A.csv")).to_be_visible()
        page.get_by_role("button", name="Check and plan").click()
        expect(page.get_by_role("heading", level=1)).to_have_text("block A.csv")


def test_progress_moves_without_loading_the_page_and_leads_to_the_plan(
    browser: Browser, address: str, office: OfficeInMemory, planned: Job
) -> None:
    job = office.job("Moving", JobState.SOLVING)
    part = Part(
        id=f"{job.id}-1",
        job=job.id,
        tenant=job.tenant,
        number=1,
        name="rails 5/16 white",
        task=Task.SOLVE,
        turn=0,
        state=PartState.RUNNING,
    )
    office.put_parts(part)
    with opened(browser, address) as page:
        page.goto(f"/page/jobs/{job.id}")
        page.evaluate("window.sameDocument = true")
        expect(page.get_by_text("looking for a first plan")).to_be_visible()
        office.put_parts(replace(part, cost=102, bound=100))
        job = office.put(job.touched(job.changed))
        expect(page.get_by_text("at most 2 % above the best possible")).to_be_visible()
        office.put_parts(replace(part, cost=100, bound=100, state=PartState.DONE))
        job = office.put(job.touched(job.changed))
        expect(page.get_by_role("status")).to_contain_text("All groups are planned")
        assert page.evaluate("window.sameDocument")
        office.put(replace(job, state=JobState.DONE, documents=planned.documents, version=job.version + 1))
        expect(page.get_by_role("heading", name="What to buy")).to_be_visible()


def test_without_script_progress_loads_itself_again(browser: Browser, address: str, office: OfficeInMemory) -> None:
    job = office.job("Plain", JobState.SOLVING)
    with opened(browser, address, java_script_enabled=False) as page:
        page.goto(f"/page/jobs/{job.id}")
        office.put(job.moved(JobState.CANCELLED, job.changed))
        expect(page.get_by_role("heading", name="Cancelled.")).to_be_visible()


def test_lengths_on_a_stick_are_written_at_full_width_and_numbered_on_a_phone(
    browser: Browser, address: str, pages: dict[str, str]
) -> None:
    with opened(browser, address, viewport=DESK) as page:
        page.goto(pages["stick"])
        drawing = page.get_by_role("img").first
        expect(drawing.locator("text.long").first).to_be_visible()
        page.set_viewport_size(PHONE)
        expect(drawing.locator("text.long").first).to_be_hidden()
        expect(drawing.locator("text.short").first).to_be_visible()


def test_no_number_runs_over_the_end_of_its_piece(browser: Browser, address: str, pages: dict[str, str]) -> None:
    overrun = """() => [...document.querySelectorAll("svg.stick")].flatMap((svg) => {
        const rails = [...svg.querySelectorAll("rect.rail")].map((rect) => rect.getBoundingClientRect());
        return [...svg.querySelectorAll("text")].map((text) => text.getBoundingClientRect())
            .filter((box) => box.width && !rails.some((rail) => rail.left <= box.left && box.right <= rail.right));
    }).length"""
    with opened(browser, address) as page:
        for width in (1200, 900, 700, 641, 640, 360):
            page.set_viewport_size({"width": width, "height": 800})
            page.goto(pages["sticks"].partition("?")[0])
            assert (width, page.evaluate(overrun)) == (width, 0)


def test_what_is_copied_from_a_page_is_a_tape_reading(browser: Browser, address: str, pages: dict[str, str]) -> None:
    with opened(browser, address) as page:
        page.goto(pages["opening"])
        assert "29 7/8 in" in page.locator("dl.sizes").inner_text()
