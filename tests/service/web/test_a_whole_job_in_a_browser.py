"""A person with a spreadsheet and a browser: from the file to the plan and its documents, as the service runs."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from click.testing import CliRunner
from playwright.sync_api import Browser, FilePayload, Page, expect

from service.cli import screenbatch
from tests.service.running_service import RunningService, running_service
from tests.service.web.browser import hindrances, launched, opened

pytestmark = pytest.mark.slow

TWO_WINDOWS = b"label,width,height,room,order\nKitchen,33 1/4,47 3/8,kitchen,WO-1\nBath,24,30 1/2,bath,WO-2\n"
IN_DOUBT = b'label,width,height\nA,"27,625",40\nB,"28,125",40\nC,30,41 4/9\n'
FAULTY = b"label,width,height\nA,33 1/4,47 3/8\nB,thirty,40\nC,TBD,40\n"


@pytest.fixture(scope="module")
def service(tmp_path_factory: pytest.TempPathFactory) -> Iterator[RunningService]:
    with running_service(tmp_path_factory.mktemp("service") / "data") as running:
        yield running


@pytest.fixture(scope="module")
def address(service: RunningService) -> str:
    return f"http://127.0.0.1:{service.port}"


@pytest.fixture(scope="module")
def browser(program: Callable[[str], str]) -> Iterator[Browser]:
    with launched(program("chromium")) as started:
        yield started


def hand_in(page: Page, content: bytes, name: str = "openings.csv") -> None:
    page.goto("/")
    page.get_by_label("Spreadsheet of openings").set_input_files(
        {"name": name, "mimeType": "text/csv", "buffer": content}
    )
    page.get_by_label("Unit of plain numbers").select_option("inches")
    page.get_by_role("button", name="Check and plan").click()


def plan_shown(page: Page) -> None:
    expect(page.get_by_role("heading", name="What to buy")).to_be_visible(timeout=60_000)


@pytest.mark.parametrize("script", [True, False])
def test_a_file_becomes_a_plan_that_can_be_fetched(browser: Browser, address: str, script: bool) -> None:
    with opened(browser, address, java_script_enabled=script) as page:
        hand_in(page, TWO_WINDOWS, "two windows.csv")
        plan_shown(page)
        expect(page.get_by_role("heading", level=1)).to_contain_text("two windows")
        expect(page.get_by_text("Read before cutting and fitting")).to_be_visible()
        with page.expect_download() as fetched:
            page.get_by_role("link", name="Plan, json").click()
        plan = json.loads(Path(fetched.value.path()).read_text(encoding="utf-8"))
        assert [screen["opening"] for screen in plan["screens"]] == ["Kitchen", "Bath"]
        with page.expect_download() as fetched:
            page.get_by_role("link", name="Purchase list, csv").click()
        assert fetched.value.suggested_filename.endswith("purchase-list.csv")
        rows = list(csv.DictReader(io.StringIO(Path(fetched.value.path()).read_text(encoding="utf-8-sig"))))
        assert len(rows) == len(plan["purchases"])


def test_the_drawings_show_the_pieces_of_the_plan(browser: Browser, address: str, service: RunningService) -> None:
    with opened(browser, address) as page:
        hand_in(page, TWO_WINDOWS)
        plan_shown(page)
        job = page.url.rsplit("/", 1)[1]
        plan = service.client.get(f"/jobs/{job}/plan.json").json()
        cuts = [rail["piece"] for group in plan["stick_groups"] for stick in group["sticks"] for rail in stick["rails"]]
        page.get_by_role("link", name="Sticks", exact=True).click()
        runs = [run.get_attribute("href") or "" for run in page.locator(".runs h3 a").all()]
        shown = []
        for run in runs:
            page.goto(run)
            shown += page.locator("tbody th").all_inner_texts()
        assert sorted(shown) == sorted(cuts)
        page.get_by_label("Find an opening, unit, order or label").fill("WO-2")
        page.keyboard.press("Enter")
        page.get_by_role("link", name="Bath").first.click()
        expect(page.locator(".arithmetic")).to_contain_text("24 - 1/8 clearance = 23 7/8")


def test_questions_are_answered_with_a_click_and_the_plan_follows(browser: Browser, address: str) -> None:
    with opened(browser, address) as page:
        hand_in(page, IN_DOUBT)
        expect(page.get_by_role("status")).to_contain_text("3 cells are in doubt", timeout=60_000)
        assert hindrances(page) == []
        page.get_by_role("button", name="Take these 2 proposals").click()
        expect(page.get_by_role("status")).to_contain_text("1 cell is in doubt", timeout=60_000)
        page.get_by_role("button", name="Take 41 7/16").click()
        plan_shown(page)
        page.get_by_role("link", name="Checks", exact=True).click()
        expect(page.get_by_role("table", name="Cells answered on this page").get_by_role("row")).to_have_count(3)


def test_proposals_taken_one_by_one_are_sent_together(browser: Browser, address: str) -> None:
    with opened(browser, address) as page:
        hand_in(page, IN_DOUBT)
        expect(page.get_by_role("status")).to_contain_text("3 cells are in doubt", timeout=60_000)
        page.get_by_role("button", name="Take 41 7/16").click()
        expect(page.get_by_text("1 of 3 answered")).to_be_visible()
        expect(page.locator(".answered input")).to_have_value("41 7/16")
        assert hindrances(page) == []
        page.get_by_role("button", name="Send what I wrote").click()
        expect(page.get_by_role("status")).to_contain_text("2 cells are in doubt", timeout=60_000)


def test_a_faulty_cell_is_mended_on_the_page_and_a_hopeless_row_left_out(browser: Browser, address: str) -> None:
    with opened(browser, address) as page:
        hand_in(page, FAULTY)
        expect(page.get_by_role("heading", name="Cells that cannot be used")).to_be_visible(timeout=60_000)
        expect(page.locator(".cell").first).to_contain_text("thirty")
        page.get_by_label("B3", exact=False).fill("30 1/4")
        page.get_by_role("button", name="Leave these rows out and plan the rest").click()
        plan_shown(page)
        page.get_by_role("link", name="Openings", exact=True).click()
        expect(page.get_by_role("table", name="Openings and their frames").get_by_role("row")).to_have_count(3)


def test_a_file_that_is_no_spreadsheet_is_said_to_be_none(browser: Browser, address: str) -> None:
    with opened(browser, address) as page:
        hand_in(page, b"\x00\x01\x02 nothing of the kind", "photo.xlsx")
        expect(page.get_by_text("Not planned yet")).to_be_visible(timeout=60_000)
        expect(page.get_by_role("link", name="hand it in again")).to_be_visible()


def test_several_files_are_planned_as_one_job(browser: Browser, address: str) -> None:
    with opened(browser, address) as page:
        page.goto("/")
        orders: list[FilePayload] = [
            {"name": f"order {number}.csv", "mimeType": "text/csv", "buffer": TWO_WINDOWS} for number in (7, 8)
        ]
        page.get_by_label("Spreadsheet of openings").set_input_files(orders)
        page.get_by_role("button", name="Check and plan").click()
        plan_shown(page)
        page.get_by_role("link", name="Openings", exact=True).click()
        for label in ("order 7 Kitchen", "order 7 Bath", "order 8 Kitchen", "order 8 Bath"):
            expect(page.get_by_role("link", name=label)).to_be_visible()


def test_a_shared_service_asks_for_the_key_and_then_shows_the_pages(browser: Browser, tmp_path: Path) -> None:
    data = tmp_path / "data"
    made = CliRunner().invoke(screenbatch, ["keys", "create", "--tenant", "shop", "--data", str(data)])
    assert made.exit_code == 0, made.output
    with (
        running_service(data, keys_needed="true") as shared,
        opened(browser, f"http://127.0.0.1:{shared.port}") as page,
    ):
        page.goto("/")
        page.get_by_label("Key").fill("sb_wrong")
        page.get_by_role("button", name="Go in").click()
        expect(page.get_by_role("alert")).to_contain_text("This key is wrong")
        assert hindrances(page) == []
        page.get_by_label("Key").fill(made.stdout.strip())
        page.get_by_role("button", name="Go in").click()
        hand_in(page, TWO_WINDOWS)
        plan_shown(page)
        with page.expect_download() as fetched:
            page.get_by_role("link", name="Plan, json").click()
        assert json.loads(Path(fetched.value.path()).read_text(encoding="utf-8"))["screens"]


def test_the_sample_is_one_click_away(browser: Browser, address: str, service: RunningService) -> None:
    with opened(browser, address) as page:
        page.goto("/")
        page.get_by_role("button", name="Plan the sample").click()
        expect(page.get_by_role("status")).to_be_visible()
        page.get_by_role("button", name="Cancel this job").click()
        expect(page.get_by_role("heading", name="Cancelled.")).to_be_visible()
        for name, path in (("template", "/template.xlsx"), ("sample", "/page/sample.xlsx")):
            assert (name, service.client.get(path).content[:2]) == (name, b"PK")
