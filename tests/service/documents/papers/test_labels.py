"""A label for every piece, and its code scans."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
import segno
from hypothesis import given
from hypothesis import strategies as st

from service.documents.papers import A4_LABELS, LETTER_LABELS, ROLL_LABEL, LabelStock, PaperSetup
from service.documents.papers.faces import Face
from service.documents.papers.labels import _laid, piece_labels, write_labels
from service.documents.papers.scan_codes import ALPHABET, scan_code
from service.documents.plan_json import plan_document
from service.errors import PaperError
from tests.service.documents.made_plans import inch_job, metric_job

SETUP = PaperSetup(job_code="J7")
ROWS = [LETTER_LABELS, A4_LABELS, ROLL_LABEL, LabelStock(page_width_mm=25, page_height_mm=12)]


@pytest.mark.slow
@pytest.mark.parametrize("stock", ROWS, ids=["letter", "A4", "single", "smallest"])
def test_every_printed_code_scans_to_its_piece(
    stock: LabelStock, tmp_path: Path, scanned: Callable[[Path, LabelStock, int], list[str]]
) -> None:
    write_labels(*inch_job(), tmp_path / "labels.pdf", replace(SETUP, labels=stock))
    document = plan_document(*inch_job())
    rails = [rail.code for group in document.stick_groups for stick in group.sticks for rail in stick.rails]
    blanks = [
        blank.code
        for group in document.roll_groups
        for roll in group.rolls
        for crosscut in roll.crosscuts
        for strip in crosscut.strips
        for blank in strip.blanks
    ]
    kept = [code for offcut in document.leftovers.sticks for code in offcut.codes]
    kept_mesh = [piece.code for piece in document.leftovers.mesh]
    codes = [f"J7-{code}" for code in (*rails, *kept, *blanks, *kept_mesh)]
    assert scanned(tmp_path / "labels.pdf", stock, len(codes)) == codes


def test_labels_come_in_cutting_order() -> None:
    cut_from = [label.cut_from for label in piece_labels(*inch_job(), SETUP)]
    assert cut_from[:3] == ["stick 1", "stick 1", "stick 2"]
    assert cut_from[-4:] == ["roll 1, crosscut 1", "roll 1, crosscut 2", "roll 1, crosscut 2", "roll 1"]


def test_what_is_kept_of_a_stick_has_a_label_behind_its_rails() -> None:
    labels = list(piece_labels(*inch_job(), SETUP))
    kept = next(at for at, label in enumerate(labels) if label.screen == "leftover, keep")
    assert labels[kept - 1].cut_from == labels[kept].cut_from == "stick 4"
    assert (labels[kept].place, labels[kept].size[0], labels[kept].code) == ("5/16 white", "14 1/8 in", "J7-K1.4")


def test_a_label_says_opening_place_both_lengths_stock_and_order() -> None:
    label = next(piece_labels(*inch_job(), replace(SETUP, revision="B")))
    assert (label.screen, label.place, label.size) == ("B2-101-LR", "left", ("45 3/4 in", "~1162.1 mm"))
    assert (label.stock, label.cut_from, label.order, label.code) == (
        "5/16 white",
        "stick 1",
        "A-17  rev B",
        "J7-1.1.L",
    )


def test_a_mesh_label_says_both_sides_in_both_units() -> None:
    label = list(piece_labels(*metric_job(), SETUP))[-1]
    assert (label.place, label.size) == ("mesh", ("897 x 1250 mm", "~35 5/16 x ~49 7/32 in"))


def test_everything_on_a_label_can_be_read_back(tmp_path: Path, text_of: Callable[[Path], list[str]]) -> None:
    write_labels(*inch_job(), tmp_path / "labels.pdf", replace(SETUP, labels=ROLL_LABEL))
    pages = text_of(tmp_path / "labels.pdf")
    labels = list(piece_labels(*inch_job(), SETUP))
    assert len(pages) == len(labels)
    for page, label in zip(pages, labels, strict=True):
        text = " ".join(page.split())
        for words in (label.screen, label.place, label.stock, label.cut_from, label.code, *label.size):
            assert words in text


@given(st.text(sorted(ALPHABET), min_size=1, max_size=61))
def test_a_code_made_fast_is_the_code_the_library_makes(text: str) -> None:
    code = scan_code(text)
    version = (code.side - 17) // 4
    made = segno.make_qr(text, version=version, error="m", mask=3, mode="alphanumeric", boost_error=False)
    assert code.rows == tuple("".join("1" if module else "0" for module in row) for row in made.matrix)


@pytest.mark.parametrize("text", ["", "b2", "X" * 62, "Ü"])
def test_a_text_no_code_can_hold_is_refused(text: str) -> None:
    with pytest.raises(PaperError):
        scan_code(text)


@pytest.mark.parametrize(
    "stock",
    [{"rows": 0}, {"columns": 0}, {"columns": 12}, {"rows": 30}, {"left_mm": 100.0}, {"gap_down_mm": 60.0, "rows": 5}],
)
def test_labels_too_small_to_write_on_are_refused(stock: dict[str, float]) -> None:
    with pytest.raises(PaperError):
        LabelStock(**{"page_width_mm": 210, "page_height_mm": 297, **stock})  # type: ignore[arg-type]


@pytest.mark.parametrize("code", ["j7", "A" * 13, "A B", "Ä"])
def test_a_job_code_no_label_can_hold_is_refused(code: str) -> None:
    with pytest.raises(PaperError):
        PaperSetup(job_code=code)


def test_a_long_name_stands_on_two_lines_rather_than_in_tiny_letters() -> None:
    name = "A-03-301-K1 north elevation, stair left 4"
    unit, lines = _laid([(name, 1.1, Face.BOLD), ("top", 1.0, Face.BOLD)], height=60, room=110)
    assert " ".join(text for text, _, _ in lines[:-1]) == name
    assert all(unit * size >= 6 for _, size, _ in lines)
