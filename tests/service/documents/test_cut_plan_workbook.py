"""The workbook a shop opens and prints."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import openpyxl
import pytest
import xlsxwriter
from openpyxl.utils.escape import unescape
from openpyxl.worksheet.worksheet import Worksheet

from service.documents.workbook import write_cut_plan
from service.documents.workbook.table import Book, Column, Table
from service.job_settings import JobSettings
from service.sheets.read import read_job
from solver.lengths import inches
from solver.plan import Kind, Notice, Plan
from solver.problem import Problem
from tests.service.documents.made_plans import inch_job, kit_job, metric_job

SHEETS = [
    "summary",
    "purchase list",
    "sizes",
    "stick cuts",
    "mesh crosscuts",
    "leftovers",
    "notices",
    "measure again",
    "rules",
]


def opened(problem: Problem, plan: Plan, folder: Path) -> openpyxl.Workbook:
    write_cut_plan(problem, plan, folder / "cut-plan.xlsx")
    return openpyxl.load_workbook(folder / "cut-plan.xlsx")


def rows(sheet: Worksheet, heading: str) -> list[dict[str, object]]:
    """Return the rows under the headings as records; the heading row starts with ``heading``."""
    cells = [list(row) for row in sheet.iter_rows(values_only=True)]
    top = next(at for at, row in enumerate(cells) if row[0] == heading)
    return [dict(zip(map(str, cells[top]), row, strict=True)) for row in cells[top + 1 :]]


def test_there_is_a_sheet_for_each_job_of_the_shop(tmp_path: Path) -> None:
    assert opened(*inch_job(), tmp_path).sheetnames == SHEETS


@pytest.mark.parametrize("name", SHEETS)
def test_every_sheet_is_ready_to_print(name: str, tmp_path: Path) -> None:
    sheet = opened(*inch_job(), tmp_path)[name]
    assert sheet.page_setup.orientation == "landscape"
    fitted = sheet.sheet_properties.pageSetUpPr
    assert fitted is not None
    assert fitted.fitToPage
    assert (sheet.page_setup.fitToWidth or 1, sheet.page_setup.fitToHeight) == (1, 0)
    assert (str(sheet.HeaderFooter.oddFooter.right.text), str(sheet.HeaderFooter.oddHeader.left.text)) == (
        "Page &P of &N",
        "&BBirch Court&B",
    )
    assert name == "summary" or sheet.print_title_rows


def test_every_rail_has_a_row_in_saw_order(tmp_path: Path) -> None:
    cuts = rows(opened(*inch_job(), tmp_path)["stick cuts"], "Profile")
    assert [row["Stick"] for row in cuts] == [1, 1, 2, 2, 2, 3, 3, 3, 3, 4, 4, 4]
    assert (cuts[0]["Piece"], cuts[0]["Rail in"], cuts[0]["Rail mm"]) == ("B2-101-LR left", "45 3/4", 1162.05)


def test_marks_run_along_the_stick_and_the_offcut_is_named_last(tmp_path: Path) -> None:
    first, second = rows(opened(*inch_job(), tmp_path)["stick cuts"], "Profile")[:2]
    assert (first["Mark at in"], second["Mark at in"]) == ("46", "91 7/8")
    assert (first["After the last cut"], second["After the last cut"]) == (None, "4 in scrap")


def test_every_blank_has_a_row_and_turned_ones_say_so(tmp_path: Path) -> None:
    cuts = rows(opened(*inch_job(), tmp_path)["mesh crosscuts"], "Mesh")
    assert [(row["Cut at in"], row["Piece"], row["Turned"]) for row in cuts] == [
        ("49 1/4", "B2-101-LR mesh", None),
        ("93 1/4", "type C (1 of 2) mesh", "turned"),
        ("93 1/4", "type C (2 of 2) mesh", "turned"),
    ]


def test_a_metric_shop_reads_millimetres_first(tmp_path: Path) -> None:
    sheet = opened(*metric_job(), tmp_path)["stick cuts"]
    headings = [cell.value for cell in sheet[2]]
    assert headings.index("Rail mm") < headings.index("Rail in")


def test_the_purchase_list_adds_up_to_its_total(tmp_path: Path) -> None:
    lines = rows(opened(*inch_job(), tmp_path)["purchase list"], "Got")
    costs = [line["Cost USD"] for line in lines if line["Cost USD"] is not None]
    assert costs == [37.5, 49, 15, 101.5]


def test_cautions_stand_before_notices(tmp_path: Path) -> None:
    lines = rows(opened(*inch_job(), tmp_path)["notices"], "Kind")
    assert [line["Kind"] for line in lines] == ["caution", "review", "notice"]


def test_how_each_size_came_about_stands_beside_it(tmp_path: Path) -> None:
    line = rows(opened(*inch_job(), tmp_path)["sizes"], "Opening")[0]
    assert "level rails: 33 1/8 - 2 x 3/4 corners = 31 5/8" in str(line["How the sizes came about"]).split("\n")


def test_the_summary_shows_the_proof_and_the_comparison(tmp_path: Path) -> None:
    lines = rows(opened(*inch_job(), tmp_path)["summary"], "Group")
    assert (lines[0]["How sure"], lines[0]["Against by hand"]) == ("proven: nothing cheaper exists", "25 % less")


@pytest.mark.parametrize("text", ["=1+1", "+1", "-1", "@x", "http://example.org", "_x0041_", "a\x00b\x1fc", "{=1}"])
def test_text_that_looks_like_a_formula_stays_text(text: str, tmp_path: Path) -> None:
    problem, plan = inch_job()
    notice = Notice(kind=Kind.CAUTION, topic="x", message=text)
    cell = opened(problem, replace(plan, notices=(notice,)), tmp_path)["notices"]["C2"]
    assert (cell.data_type, cell.hyperlink) == ("s", None)
    assert unescape(cell.value) in {text, "abc"}


def test_written_twice_it_is_the_same_file(tmp_path: Path) -> None:
    for name in ("one.xlsx", "two.xlsx"):
        write_cut_plan(*inch_job(), tmp_path / name)
    assert (tmp_path / "one.xlsx").read_bytes() == (tmp_path / "two.xlsx").read_bytes()


def test_a_full_sheet_goes_on_in_the_next(tmp_path: Path) -> None:
    problem, _ = inch_job()
    with xlsxwriter.Workbook(str(tmp_path / "full.xlsx")) as workbook:
        table = Table(Book(workbook, problem), "cuts", (Column("Piece", 10),), rows=3)
        for name in "abc":
            table.row((name,))
    found = openpyxl.load_workbook(tmp_path / "full.xlsx")
    cells = {sheet.title: [cell.value for cell in sheet["A"]] for sheet in found}
    assert cells == {"cuts": ["Piece", "a", "b"], "cuts 2": ["Piece", "c"]}


def test_a_job_with_kits_has_sheets_for_them(tmp_path: Path) -> None:
    book = opened(*kit_job(), tmp_path)
    assert [name for name in book.sheetnames if name not in SHEETS] == ["kits", "other ways to buy", "from leftovers"]
    assert [(line["Content"], line["Left"]) for line in rows(book["kits"], "Kit")] == [
        ("stick", "1"),
        ("corner 5/16", "0"),
        ("spline 0.160", "4 in"),
    ]
    ways = rows(book["other ways to buy"], "Way")
    assert [line["Cost USD"] for line in ways] == [120, None]
    assert rows(book["from leftovers"], "Profile, colour, mesh")[0]["How many"] == 2


def test_a_job_without_doubts_has_nothing_to_measure_again(tmp_path: Path) -> None:
    assert "measure again" not in opened(*metric_job(), tmp_path).sheetnames


def test_the_leftovers_are_stock_for_the_next_job(tmp_path: Path) -> None:
    cut_plan = opened(*inch_job(), tmp_path)
    next_job = openpyxl.Workbook()
    openings = next_job.active
    assert openings is not None
    openings.title = "openings"
    for row in (["label", "width", "height"], ["K1", "30 in", "40 in"]):
        openings.append(row)
    leftovers = next_job.create_sheet("leftovers")
    for line in cut_plan["leftovers"].iter_rows(values_only=True):
        leftovers.append(line)
    next_job.save(tmp_path / "next.xlsx")
    read = read_job(tmp_path / "next.xlsx", JobSettings(unit="in", accept_proposals=True))
    assert read.problem is not None, read.findings
    stock = read.problem.catalogue
    sticks = [(stick.profile, stick.colour, stick.length) for stick in stock.sticks if stick.leftover]
    rolls = [(roll.mesh, roll.width, roll.length) for roll in stock.rolls if roll.leftover]
    assert sticks == [("5/16", "white", inches(14, 1, 8))]
    assert rolls == [("charcoal", inches(36), inches(206, 3, 4))]
