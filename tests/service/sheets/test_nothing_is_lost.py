"""No row, column or number of pieces of a table is lost without a word."""

from pathlib import Path

import openpyxl
import pytest
from openpyxl.styles import Font

from solver.lengths import inches, mm
from tests.service.sheets.sheet_makers import HEADINGS, csv_file, finding, read, serious, workbook

SIZE = ("27 1/2", "41 1/2")


def test_a_second_table_below_with_other_columns_is_read_with_its_own_heading(tmp_path: Path) -> None:
    rows = [("Mark", "Width", "Height"), ("A1", *SIZE), (), ("Mark", "Qty", "Height", "Width"), ("B1", 2, *SIZE)]
    reading = read(workbook(tmp_path, {"x": rows}))
    assert serious(reading) == []
    assert [(each.label, each.quantity, each.widths[0]) for each in reading.openings] == [
        ("A1", 1, inches(27, 1, 2)),
        ("B1", 2, inches(41, 1, 2)),
    ]


def test_titles_between_rows_say_the_place_of_the_rows_below(tmp_path: Path) -> None:
    rows = [HEADINGS, ("Building A",), ("2nd floor",), ("1", *SIZE), ("3rd floor",), ("1", *SIZE), ("Building B",),
            ("1", *SIZE)]  # fmt: skip
    reading = read(workbook(tmp_path, {"x": rows}))
    assert serious(reading) == []
    assert [(each.building, each.floor) for each in reading.openings] == [
        ("Building A", "2nd floor"),
        ("Building A", "3rd floor"),
        ("Building B", ""),
    ]


def test_a_unit_without_sizes_among_units_is_no_title(tmp_path: Path) -> None:
    reading = read(workbook(tmp_path, {"x": [HEADINGS, ("Unit 101", *SIZE), ("Unit 102",)]}))
    assert finding(reading, "B3").message == "the width is missing; write the width, or delete the row"


def test_a_struck_row_is_asked_about(tmp_path: Path) -> None:
    path = workbook(tmp_path, {"x": [HEADINGS, ("A1", *SIZE), ("A2", *SIZE)]})
    book = openpyxl.load_workbook(path)
    book.worksheets[0]["B3"].font = Font(strike=True)
    book.save(path)
    asked = finding(read(path), "3")
    assert (asked.verdict.value, asked.proposal) == ("question", "skip")
    assert [each.label for each in read(path, answers={"x!3": "read"}).openings] == ["A1", "A2"]
    assert [each.label for each in read(path, accept_proposals=True).openings] == ["A1"]


def test_a_dash_or_0_in_a_fraction_column_without_a_heading_does_not_hide_the_fractions(tmp_path: Path) -> None:
    rows = [
        ("mark", "width (in)", None, "height (in)"),
        ("A1", 27, "5/8", 41),
        ("A2", 28, "0", 41),
        ("A3", 28, "-", 41),
    ]
    reading = read(workbook(tmp_path, {"x": rows}))
    assert [each.widths[0] for each in reading.openings] == [inches(27, 5, 8), inches(28), inches(28)]


def test_a_unit_nobody_knows_is_refused_and_spoils_no_other_row(tmp_path: Path) -> None:
    rows = [
        ("mark", "width", "height", "unit"),
        ("A1", 702, 1054, "mm"),
        ("A2", 70.2, 105.4, "cm"),
        ("A3", 30, 40, "yd"),
    ]
    reading = read(workbook(tmp_path, {"x": rows}))
    assert finding(reading, "D4").message == "yd is no unit of length; write in, mm, cm, m or ft"
    assert [each.widths[0] for each in reading.openings] == [mm(702), mm(702)]


def test_a_decimal_comma_that_splits_a_row_is_refused(tmp_path: Path) -> None:
    reading = read(csv_file(tmp_path, "mark,width (in),height (in)\nA1,27,30,41,50\nA2,27,41\n"))
    assert finding(reading, "2").message.startswith("this row has 5 cells under 3 headings")
    assert [each.label for each in reading.openings] == ["A2"]


def test_a_column_that_may_count_screens_is_asked_about(tmp_path: Path) -> None:
    rows = [(*HEADINGS, "screens to make"), ("A1", *SIZE, 2), ("A2", *SIZE, 1)]
    path = workbook(tmp_path, {"x": rows})
    assert finding(read(path), "D1").proposal == "quantity"
    assert [each.quantity for each in read(path, accept_proposals=True).openings] == [2, 1]


def test_a_hidden_sheet_is_asked_about_even_if_it_is_the_only_list(tmp_path: Path) -> None:
    path = workbook(tmp_path, {"list": [HEADINGS, ("A1", *SIZE)], "cover": [("Hello",)]})
    book = openpyxl.load_workbook(path)
    book.worksheets[0].sheet_state = "hidden"
    book.active = 1
    book.save(path)
    assert [each.proposal for each in read(path).findings if each.verdict.value == "question"] == ["read"]


@pytest.mark.parametrize(
    "headings",
    [
        ("Fenster-Nr.", "Breite (mm)", "Höhe (mm)", "Stück"),
        ("Pos.", "Lichte Breite [mm]", "Lichte Höhe [mm]", "Anzahl"),
        ("Repère", "Largeur (mm)", "Hauteur (mm)", "Quantité"),
        ("Marca", "Ancho (mm)", "Alto (mm)", "Cantidad"),
    ],
)
def test_german_french_and_spanish_headings_are_known(tmp_path: Path, headings: tuple[str, ...]) -> None:
    reading = read(workbook(tmp_path, {"x": [headings, ("F1", 702, 1054, 2)]}))
    assert reading.findings == ()
    opening = reading.openings[0]
    assert (opening.label, opening.widths, opening.heights, opening.quantity) == ("F1", (mm(702),), (mm(1054),), 2)


def test_width_and_height_below_a_merged_word_for_size_are_two_columns(tmp_path: Path) -> None:
    rows = [("Mark", "Opening size", None, "Qty"), (None, "W (in)", "H (in)", None), ("A1", *SIZE, 2)]
    path = workbook(tmp_path, {"x": rows})
    book = openpyxl.load_workbook(path)
    for merge in ("A1:A2", "B1:C1", "D1:D2"):
        book.worksheets[0].merge_cells(merge)
    book.save(path)
    reading = read(path)
    assert serious(reading) == []
    assert [(each.label, each.quantity) for each in reading.openings] == [("A1", 2)]
