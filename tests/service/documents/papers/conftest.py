"""Papers read back: their text, and their pages as pictures."""

from __future__ import annotations

import subprocess
from collections.abc import Callable, Sequence
from pathlib import Path

import pytest
from PIL import Image

from service.documents.papers import LabelStock


@pytest.fixture
def text_of(program: Callable[[str], str]) -> Callable[[Path], list[str]]:
    """Return a function that reads a PDF back as text, page by page."""

    def read(path: Path) -> list[str]:
        done = subprocess.run(
            [program("pdftotext"), "-layout", str(path), "-"], check=True, capture_output=True, timeout=60
        )
        return done.stdout.decode().split("\f")[:-1]

    return read


@pytest.fixture
def scanned(program: Callable[[str], str], tmp_path: Path) -> Callable[[Path, LabelStock, int], list[str]]:
    """Return a function that prints labels at 200 dots an inch, cuts them apart and scans the first ``count``."""

    def scan(path: Path, stock: LabelStock, count: int) -> list[str]:
        subprocess.run(
            [program("pdftoppm"), "-r", "200", "-gray", str(path), str(tmp_path / "page")], check=True, timeout=60
        )
        pages = [Image.open(page) for page in sorted(tmp_path.glob("page*.pgm"))]
        cut = [_label(pages, stock, number) for number in range(count)]
        names = [str(tmp_path / f"label{number:03d}.png") for number in range(count)]
        for label, name in zip(cut, names, strict=True):
            label.save(name)
        done = subprocess.run([program("zbarimg"), "-q", "--raw", *names], check=True, capture_output=True, timeout=60)
        return done.stdout.decode().split()

    return scan


def _label(pages: Sequence[Image.Image], stock: LabelStock, number: int) -> Image.Image:
    page, place = divmod(number, stock.rows * stock.columns)
    row, column = divmod(place, stock.columns)
    left = stock.left_mm + column * (stock.label_width_mm + stock.gap_across_mm)
    top = stock.top_mm + row * (stock.label_height_mm + stock.gap_down_mm)
    corners = (left, top, left + stock.label_width_mm, top + stock.label_height_mm)
    return pages[page].crop(tuple(round(corner / 25.4 * 200) for corner in corners))  # type: ignore[arg-type]
