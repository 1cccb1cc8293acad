"""What is proposed for a doubtful cell can stand in that cell, and nothing of the cell is lost."""

import datetime
from pathlib import Path

import pytest

from service.sheets.findings import Verdict
from service.sheets.length_cells import LengthCells, Role
from service.sheets.verdicts import Asked, Held, Wrong
from tests.service.sheets.sheet_makers import finding, formatted_cells, read

INCHES = LengthCells("in", Role.OPENING)
MILLIMETRES = LengthCells("mm", Role.OPENING)


@pytest.mark.parametrize("written", ["70²", "12¹", "27 5/8¹", "35₂"])
def test_a_footnote_mark_is_no_figure_of_the_reading(written: str) -> None:
    assert isinstance(INCHES(written), Wrong)
    assert isinstance(MILLIMETRES(written), Wrong)


@pytest.mark.parametrize(("written", "proposal"), [("0.702", "0.702 m"), ("27,63", None), ("1.054", "1.054 m")])
def test_a_metric_slip_is_proposed_in_the_unit_that_makes_a_window(written: str, proposal: str | None) -> None:
    verdict = MILLIMETRES(written)
    assert isinstance(verdict, Asked) if proposal else not isinstance(verdict, Held)
    assert not isinstance(verdict, Asked) or proposal is None or verdict.proposal == proposal


@pytest.mark.parametrize(
    "written", ["27,63", "27 625", "1.234,5", "702 m", "27.6", "~27.63", "27 9/8", "27'625", "1,000.5", "2.3'"]
)
def test_every_proposal_is_fine_in_its_cell(written: str) -> None:
    verdict = INCHES(written)
    assert not isinstance(verdict, Held)
    assert isinstance(verdict, Wrong) or isinstance(INCHES(verdict.proposal), Held)


@pytest.mark.parametrize("written", ["27 yd", "2.7 dm", "27.5 kg", "27 sq ft", "27 and a half", "2 x 27 5/8", "27 /8"])
def test_a_part_of_the_cell_that_matters_is_never_taken_for_a_remark(written: str) -> None:
    assert isinstance(INCHES(written), Wrong)


def test_a_fraction_in_brackets_belongs_to_the_size() -> None:
    verdict = INCHES("27 (5/8)")
    assert isinstance(verdict, Asked)
    assert verdict.proposal == "27 5/8"


@pytest.mark.parametrize("written", ["8-Mrz", "08. Mrz", "8 mars", "8 août", "5 ago", "16 mai"])
def test_months_of_other_languages_are_dates_too(written: str) -> None:
    verdict = LengthCells("in", Role.SMALL)(written)
    assert (isinstance(verdict, Asked) and verdict.kind == "date") or isinstance(verdict, Wrong)


def test_a_date_format_that_names_its_language_is_no_money(tmp_path: Path) -> None:
    found = finding(read(formatted_cells(tmp_path, [(datetime.date(2026, 3, 8), "[$-409]d-mmm;@")])), "B2")
    assert (found.verdict, found.proposal) == (Verdict.QUESTION, "3/8")


@pytest.mark.parametrize("written", ["#DIV/0!", "#N/A", "#BEZUG!", "Err:502", "####"])
def test_an_error_value_kept_as_text_is_named(written: str) -> None:
    verdict = INCHES(written)
    assert isinstance(verdict, Wrong)
    assert verdict.message.startswith(f"the cell shows {written}")
