"""What holds for every paper."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from service.documents.papers import PAPERS, Paper, PaperKind, PaperSetup
from solver.lengths import Unit
from tests.service.documents.made_plans import inch_job, kit_job, metric_job

TextOf = Callable[[Path], list[str]]
SETUP = PaperSetup(handed_in=date(2026, 11, 25), job_code="J7")
EVERY_PAPER = pytest.mark.parametrize("paper", PAPERS, ids=[paper.name for paper in PAPERS])
WITHOUT_LABELS = pytest.mark.parametrize(
    "paper", [paper for paper in PAPERS if paper.name != "labels.pdf"], ids=lambda paper: paper.name
)


@WITHOUT_LABELS
def test_every_page_says_job_date_unit_kerf_and_its_number(paper: PaperKind, tmp_path: Path, text_of: TextOf) -> None:
    paper.write(*metric_job(), tmp_path / paper.name, SETUP)
    pages = text_of(tmp_path / paper.name)
    for number, page in enumerate(pages, start=1):
        assert "Küche & Bad" in page
        assert f"page {number} of {len(pages)}" in page
        assert "handed in 2026-11-25 · lengths in millimetres (~ to the nearest tenth) · saw cut 3 mm" in " ".join(
            page.split()
        )


@EVERY_PAPER
def test_written_twice_it_is_the_same_file(paper: PaperKind, tmp_path: Path) -> None:
    for name in ("one.pdf", "two.pdf"):
        paper.write(*inch_job(), tmp_path / name, SETUP)
    assert (tmp_path / "one.pdf").read_bytes() == (tmp_path / "two.pdf").read_bytes()


@EVERY_PAPER
def test_a_job_with_kits_can_be_printed(paper: PaperKind, tmp_path: Path) -> None:
    paper.write(*kit_job(), tmp_path / paper.name, SETUP)
    assert (tmp_path / paper.name).read_bytes().startswith(b"%PDF")


@pytest.mark.parametrize(("paper", "points"), [(Paper.LETTER, "612 792"), (Paper.A4, "595.2756 841.8898")])
def test_a_page_has_the_paper_s_size(paper: Paper, points: str, tmp_path: Path) -> None:
    PAPERS[3].write(*inch_job(), tmp_path / "mesh.pdf", replace(SETUP, paper=paper))
    assert f"/MediaBox [ 0 0 {points} ]".encode() in (tmp_path / "mesh.pdf").read_bytes()


@settings(max_examples=15, suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(name=st.text(min_size=1, max_size=200))
def test_any_text_an_office_types_can_be_printed(name: str, tmp_path: Path) -> None:
    problem, plan = inch_job()
    screens = tuple(replace(screen, profile=name, mesh=name) for screen in plan.screens)
    group = replace(plan.stick_groups[0], profile=name)
    named = replace(plan, screens=screens, stick_groups=(group,), name=name)
    for paper in PAPERS:
        paper.write(replace(problem, name=name), named, tmp_path / paper.name, SETUP)


def test_a_shop_that_set_nothing_gets_the_paper_of_its_unit() -> None:
    assert PaperSetup.usual(Unit.INCH).paper is Paper.LETTER
    assert PaperSetup.usual(Unit.MM).paper is Paper.A4


def test_a_revision_stands_on_the_page(tmp_path: Path, text_of: TextOf) -> None:
    PAPERS[0].write(*inch_job(), tmp_path / "sizes.pdf", replace(SETUP, revision="B"))
    assert "revision B" in text_of(tmp_path / "sizes.pdf")[0]
