"""What spreadsheet programs make of typed readings, cell by cell: fine, asked about, or refused."""

import datetime
from pathlib import Path
from typing import Any

import pytest
import xlsxwriter

from service.sheets.findings import Verdict
from solver.lengths import inches, mm
from tests.service.sheets.sheet_makers import finding, formatted_cells, read, widths


@pytest.mark.parametrize(
    ("value", "code", "length"),
    [
        (27.625, "# ?/?", inches(27, 5, 8)),
        (27.625, "# ??/16", inches(27, 5, 8)),
        (27.625, "0.000", inches(27, 5, 8)),
        (27.625, "", inches(27, 5, 8)),
        (702, '0" mm"', mm(702)),
        (27.625, '0.000"\u2033"', inches(27, 5, 8)),
        ("702 mm", "@", mm(702)),
    ],
)
def test_a_number_is_fine_however_a_length_format_shows_it(tmp_path: Path, value: Any, code: str, length: int) -> None:
    reading = read(formatted_cells(tmp_path, [(value, code)]))
    assert reading.findings == ()
    assert reading.openings[0].widths == (length,)


@pytest.mark.parametrize(
    ("value", "code", "proposal"),
    [
        (datetime.date(2026, 3, 8), "d-mmm", "3/8"),
        (datetime.date(2026, 5, 16), "d-mmm", "5/16"),
        (datetime.date(2026, 1, 2), "m/d/yy", "1/2"),
        (datetime.date(2002, 1, 1), "yyyy-mm-dd", "1 1/2"),
        (datetime.date(2008, 3, 5), "yyyy-mm-dd", "3 5/8"),
        (datetime.date(1932, 3, 1), "mmm-yy", "3/32"),
        (27625, "", "27.625"),
        (702, "", "702 mm"),
        (1234.5, "#,##0.0", "1234.5 mm"),
        (27.625, '0.000" kg"', "27.625 in"),
        (27.625, '0.000" m²"', "27.625 in"),
        (27.63, "0.00", "27 5/8"),
    ],
)
def test_what_a_program_did_to_a_reading_is_asked_about(tmp_path: Path, value: Any, code: str, proposal: str) -> None:
    found = finding(read(formatted_cells(tmp_path, [(value, code)])), "B2")
    assert (found.verdict, found.proposal) == (Verdict.QUESTION, proposal)


@pytest.mark.parametrize(
    ("value", "code", "message"),
    [
        (datetime.date(2003, 1, 2), "yyyy-mm-dd",
         "2003-01-02 is a date; format the column as text and write the reading again, such as 27 5/8"),
        (datetime.datetime(2026, 3, 8, 10, 30), "yyyy-mm-dd hh:mm",
         "2026-03-08 10:30 is a date with a time; write the reading, such as 27 5/8"),
        (datetime.time(1, 30), "h:mm",
         "1:30 is a time; format the column as text and write it again, such as 27 5/8"),
        (0.5, "0%",
         "the cell is formatted as a percentage; format the column as text and write it again, such as 27 5/8"),
        (27.5, "$#,##0.00",
         "the cell is formatted as an amount of money; format the column as text and write it again, such as 27 5/8"),
        (-27, "", "-27 is below 0; a dash or a plus may have been typed behind it; write the reading alone"),
        (True, "", "TRUE is no length; write the reading, such as 27 5/8"),
        (0, "", "0 must be over 0; write the reading, such as 27 5/8"),
        ("#REF!", "@", "the cell shows #REF!; mend its formula or write the value itself"),
        ("TBD", "", "TBD is no length; write one such as 27 5/8"),
        ("15/16", "@", "15/16 is only a fraction of an inch; write the whole inches too, such as 27 15/16"),
    ],
)  # fmt: skip
def test_what_is_no_reading_is_refused_with_what_to_write(tmp_path: Path, value: Any, code: str, message: str) -> None:
    found = finding(read(formatted_cells(tmp_path, [(value, code)])), "B2")
    assert (found.verdict, found.message) == (Verdict.ERROR, message)


def test_a_formula_that_was_never_calculated_is_refused(tmp_path: Path) -> None:
    reading = read(widths(tmp_path, ["=27+5/8"]))
    assert finding(reading, "B2").message == (
        "the formula was never calculated; open the file once in your spreadsheet program and save it"
    )


def test_an_error_cell_is_never_blank(tmp_path: Path) -> None:
    reading = read(widths(tmp_path, ["#N/A"]))
    assert finding(reading, "B2").verdict is Verdict.ERROR


def test_the_unit_in_the_cell_goes_before_the_heading(tmp_path: Path) -> None:
    reading = read(widths(tmp_path, [702, '27 5/8"'], ("label", "width (mm)", "height (in)")))
    assert [opening.widths for opening in reading.openings] == [(mm(702),), (inches(27, 5, 8),)]


def test_the_unit_in_the_heading_goes_before_the_setting(tmp_path: Path) -> None:
    reading = read(widths(tmp_path, [702], ("label", "width (mm)", "height (in)")), unit="in")
    assert reading.openings[0].widths == (mm(702),)


def test_all_faulty_cells_are_said_at_once(tmp_path: Path) -> None:
    reading = read(widths(tmp_path, ["thirty", "27 5/8", "27,5", -3]))
    assert [(each.cell, each.verdict.value) for each in reading.findings] == [
        ("B2", "error"),
        ("B4", "question"),
        ("B5", "error"),
    ]
    assert reading.problem is None
    assert [opening.label for opening in reading.openings] == ["W2"]


def test_dates_are_found_in_text_tables_too(tmp_path: Path) -> None:
    path = tmp_path / "windows.csv"
    path.write_text("label,width (in),height (in),slot\nW1,27 5/8,41 1/2,8-Mar\nW2,27 5/8,41 1/2,5/16/2026\n")
    reading = read(path)
    assert [(each.cell, each.proposal) for each in reading.findings] == [("D2", "3/8"), ("D3", "5/16")]


def test_zero_and_a_comma_in_a_column_of_millimetres_is_asked_about_in_metres(tmp_path: Path) -> None:
    asked = finding(read(widths(tmp_path, ["0,702"], ("label", "width (mm)", "height (in)"))), "B2")
    assert (asked.verdict, asked.proposal) == (Verdict.QUESTION, "0.702 m")


def test_a_format_that_counts_pieces_is_fine_in_a_quantity(tmp_path: Path) -> None:
    path = tmp_path / "pieces.xlsx"
    with xlsxwriter.Workbook(path) as book:
        sheet = book.add_worksheet("openings")
        sheet.write_row(0, 0, ("label", "width (in)", "height (in)", "quantity"))
        sheet.write_row(1, 0, ("A", 27.625, 41.5))
        sheet.write_number(1, 3, 2, book.add_format({"num_format": '0" pcs"'}))
    reading = read(path)
    assert reading.findings == ()
    assert reading.openings[0].quantity == 2
