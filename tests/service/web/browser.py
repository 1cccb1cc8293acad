"""A real browser: Debian's chromium, driven without a screen."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from axe_playwright_python.sync_playwright import Axe  # type: ignore[import-untyped]
from playwright.sync_api import Browser, Page, ViewportSize, sync_playwright

_ARGUMENTS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-dev-shm-usage",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
_WCAG = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]

PHONE: ViewportSize = {"width": 360, "height": 740}
DESK: ViewportSize = {"width": 1200, "height": 800}


@contextmanager
def launched(chromium: str) -> Iterator[Browser]:
    """Start the browser for a while."""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium, args=_ARGUMENTS)
        try:
            yield browser
        finally:
            browser.close()


@contextmanager
def opened(browser: Browser, address: str, **settings: Any) -> Iterator[Page]:
    """Open a fresh window on an address; a script that fails or is refused fails the test."""
    context = browser.new_context(base_url=address, accept_downloads=True, **settings)
    context.set_default_timeout(20_000)
    page = context.new_page()
    faults: list[str] = []
    page.on("pageerror", lambda error: faults.append(str(error)))
    page.on("console", lambda line: faults.append(line.text) if "Content Security Policy" in line.text else None)
    try:
        yield page
        assert faults == []
    finally:
        context.close()


def hindrances(page: Page, *rules: str) -> list[str]:
    """Return what hinders people with a screen reader, a keyboard or weak eyes: broken rules of WCAG 2.2 AA.

    All rules, or only those named.

    References
    ----------
    axe-core 4.12, tags wcag2a to wcag22aa and best-practice.
    """
    chosen = {"type": "rule", "values": list(rules)} if rules else {"type": "tag", "values": _WCAG}
    found = Axe().run(page, options={"runOnly": chosen, "resultTypes": ["violations", "passes"]}).response
    assert found["passes"], "the checker looked at nothing"
    return [f"{broken['id']}: {node['html']}" for broken in found["violations"] for node in broken["nodes"]]


def wider_than_the_window(page: Page) -> bool:
    """Return whether a page has to be scrolled sideways."""
    return bool(page.evaluate("document.documentElement.scrollWidth > document.documentElement.clientWidth"))
