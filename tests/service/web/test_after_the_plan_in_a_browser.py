"""After the plan, in a real browser with a real service: reported, planned again, measured, compared."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.service.api.test_after_the_plan_over_http import SHEETS
from tests.service.running_service import RunningService, running_service
from tests.service.web.browser import hindrances, launched, opened, wider_than_the_window
from tests.service.web.test_pages_in_a_browser import LOOKS

pytestmark = pytest.mark.slow


@pytest.fixture(scope="module")
def browser(program: Callable[[str], str]) -> Iterator[Browser]:
    with launched(program("chromium")) as started:
        yield started


@pytest.fixture(scope="module")
def service(tmp_path_factory: pytest.TempPathFactory) -> Iterator[RunningService]:
    with running_service(tmp_path_factory.mktemp("service") / "data") as service:
        yield service


@pytest.fixture(scope="module")
def address(service: RunningService) -> str:
    return f"http://127.0.0.1:{service.port}"


@pytest.fixture(scope="module")
def job(service: RunningService) -> str:
    """A job of two windows whose plan takes two leftovers."""
    piece = {"profile": "5/16", "colour": "white", "length": "46 1/4 in"}
    service.client.post("/rack", json={"pieces": [piece] * 3}).raise_for_status()
    body = json.dumps({"settings": {"unit": "in", "currency": "USD"}, "sheets": SHEETS}).encode()
    settings = json.dumps({"unit": "in", "currency": "USD", "use_rack": True})
    handed_in = service.hand_in(body, name="two windows.json", settings=settings).json()["id"]
    ended = service.await_end(handed_in)
    assert ended["state"] == "done", ended
    return str(handed_in)


def shown(page: Page, service: RunningService) -> str:
    """Wait until the job that the page leads to has ended, and look at it."""
    page.wait_for_load_state()
    job = page.url.rpartition("/")[2]
    ended = service.await_end(job, seconds=120)
    assert ended["state"] == "done", ended
    page.goto(f"/page/jobs/{job}")
    return job


def unfold(page: Page) -> None:
    page.evaluate("for (const details of document.querySelectorAll('details')) details.open = true")


def test_a_miscut_and_a_short_bag_from_the_floor_to_the_difference_without_script(
    browser: Browser, address: str, service: RunningService, job: str, tmp_path: Path
) -> None:
    scanned = tmp_path / "scanned.csv"
    scanned.write_text("code\nA-1 top\n", encoding="utf-8")
    with opened(browser, address, java_script_enabled=False) as page:
        page.goto(f"/page/jobs/{job}/floor")
        page.get_by_label("Or a sheet").set_input_files(scanned)
        page.get_by_role("button", name="Note it").first.click()
        expect(page.get_by_text("rail cut: A-1 top")).to_be_visible()
        page.get_by_text("A rail or a mesh blank came out wrong").click()
        page.get_by_label("Which rail").fill("A-2 left")
        page.get_by_label("What it measures").fill("40 1/4")
        page.get_by_label("What it measures").press("Enter")
        expect(page.get_by_text("miscut: A-2 left, length 40 1/4")).to_be_visible()
        page.get_by_text("A bag or shipment lacked parts").click()
        page.get_by_label("Opening", exact=True).last.fill("A-1")
        page.get_by_label("How many, or how long with its unit").fill("2")
        page.get_by_role("button", name="Plan the rest again").click()
        revised = shown(page, service)
        page.get_by_role("link", name="see what changed").click()
        expect(page.get_by_role("heading", name="Cut now")).to_be_visible()
        expect(page.get_by_role("heading", name="Labels to print again")).to_be_visible()
        for paper in ("Print these labels", "Print the list of single parts to send"):
            link = page.get_by_role("link", name=paper).get_attribute("href")
            assert service.client.get(str(link)).content.startswith(b"%PDF")
        # A wrong report is taken back: the plan before holds again.
        page.get_by_role("button", name="Take this revision back").click()
        expect(page.get_by_role("heading", name="What to buy")).to_be_visible()
    assert service.client.get(f"/jobs/{revised}").json()["state"] == "cancelled"


def test_a_refused_report_goes_back_to_the_floor(
    browser: Browser, address: str, service: RunningService, job: str
) -> None:
    with opened(browser, address) as page:
        page.goto(f"/page/jobs/{job}/floor")
        page.get_by_label("Sticks cut, rails 5/16 white").fill("77")
        page.get_by_role("button", name="Plan the rest again").click()
        expect(page.get_by_text("the plan has no stick 77")).to_be_visible(timeout=60_000)
        page.get_by_role("link", name="Back to the shop floor").click()
        page.get_by_role("button", name="Drop").click()
        expect(page.get_by_text("Nothing yet")).to_be_visible()


def test_leftovers_are_measured_on_the_rack(browser: Browser, address: str, job: str) -> None:
    with opened(browser, address) as page:
        page.goto("/page/rack")
        page.get_by_role("link", name="to be measured").click()
        page.get_by_label("Real length of").first.fill("40 1/2 in")
        page.get_by_role("button", name="Confirm real lengths").click()
        expect(page.get_by_role("status")).to_contain_text("on the rack")


def test_a_lost_label_is_found_and_printed(browser: Browser, address: str, service: RunningService, job: str) -> None:
    with opened(browser, address) as page:
        page.goto(f"/page/jobs/{job}/lost-label")
        page.get_by_label("Measured length").fill("45 3/4")
        page.get_by_role("button", name="Find", exact=True).last.click()
        code = page.get_by_label("Print the label of A-1 left").get_attribute("value")
    labels = service.client.get(f"/page/jobs/{job}/labels.pdf", params={"code": str(code)}, timeout=60)
    assert labels.content.startswith(b"%PDF")


def test_choices_phases_substitutes_orders_and_a_budget(
    browser: Browser, address: str, service: RunningService, job: str
) -> None:
    with opened(browser, address) as page:
        page.goto(f"/page/jobs/{job}/compare")
        for label, text in {
            "Another stick length": "16 ft",
            "its profile": "5/16",
            "its colour": "white",
            "its price": "1.00",
        }.items():
            page.get_by_label(label).fill(text)
        page.get_by_role("button", name="Compare", exact=True).click()
        shown(page, service)
        expect(page.get_by_role("row", name="sticks of 16 ft")).to_contain_text("USD less")
        assert hindrances(page) == []
        page.goto(f"/page/jobs/{job}/compare")
        page.get_by_role("button", name="Compare phases").click()
        shown(page, service)
        expect(page.get_by_text("planned all together")).to_be_visible()
        page.goto(f"/page/jobs/{job}/compare")
        page.get_by_label("What cannot be had").fill("48")
        page.get_by_role("button", name="Find what stands in").click()
        shown(page, service)
        expect(page.get_by_text("2 openings have pieces of it")).to_be_visible()
        page.goto(f"/page/jobs/{job}/orders")
        expect(page.get_by_role("row", name="Together")).to_be_visible()
        page.get_by_label("Due dates").fill("2 = 2026-12-01")
        page.get_by_role("button", name="Put in order").click()
        shown(page, service)
        expect(page.get_by_text("Finished in this order: 2, 1")).to_be_visible()
        page.goto("/page/budget")
        for label, text in {"how many": "10", "width": "30", "height": "48"}.items():
            page.get_by_label(f"Type 1, {label}").fill(text)
        page.get_by_role("button", name="Estimate", exact=True).last.click()
        shown(page, service)
        expect(page.get_by_text("likely, for 10 screens", exact=True)).to_be_visible()
        assert hindrances(page) == []


@pytest.mark.parametrize("look", LOOKS)
def test_no_page_hinders_anybody_or_is_too_wide(browser: Browser, address: str, job: str, look: str) -> None:
    settings, rules = LOOKS[look]
    paths = [f"/page/jobs/{job}/{tab}" for tab in ("floor", "compare", "orders", "lost-label?length=45+3/4")]
    with opened(browser, address, **settings) as page:
        for path in (*paths, "/page/rack?state=all", "/page/rack?state=expected", "/page/budget"):
            page.goto(path)
            unfold(page)
            assert (path, hindrances(page, *rules), wider_than_the_window(page)) == (path, [], False)
