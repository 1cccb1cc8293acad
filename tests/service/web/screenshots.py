"""Takes the pictures of the page that the README shows: ``python -m tests.service.web.screenshots FOLDER``.

Needs Debian's chromium. It starts the service, hands in the sample apartment
block, waits for its plan and writes ``page-result.png`` and ``page-sticks.png``.
"""

from __future__ import annotations

import shutil
import sys
import tempfile
from pathlib import Path

from tests.service.running_service import running_service
from tests.service.web.browser import launched, opened

_SAMPLE = Path(__file__).parents[3] / "sample_jobs" / "apartment_block.xlsx"
_WINDOW = {"width": 1100, "height": 900}


def take(folder: Path) -> list[Path]:
    """Write both pictures into a folder and return where they are."""
    folder.mkdir(parents=True, exist_ok=True)
    chromium = shutil.which("chromium")
    if chromium is None:
        sys.exit("chromium is not installed")
    pictures = [folder / "page-result.png", folder / "page-sticks.png"]
    with tempfile.TemporaryDirectory() as data, running_service(Path(data) / "data") as service:
        job = service.hand_in(_SAMPLE).raise_for_status().json()["id"]
        service.await_end(job, seconds=300)
        address = f"http://127.0.0.1:{service.port}"
        with launched(chromium) as browser, opened(browser, address, viewport=_WINDOW, color_scheme="light") as page:
            for picture, path in zip(pictures, ("", "/sticks"), strict=True):
                page.goto(f"/page/jobs/{job}{path}")
                page.screenshot(path=picture)
    return pictures


if __name__ == "__main__":
    if len(sys.argv) != 2:
        sys.exit(__doc__)
    for taken in take(Path(sys.argv[1])):
        sys.stdout.write(f"{taken}\n")
