"""No row, column or number of pieces of a table is lost without a word."""

from pathlib import Path

import openpyxl
import pytest
from odf.opendocument import OpenDocumentSpreadsheet
from odf.style import Style, TextProperties
from odf.table import Table as OpenTable
from odf.table import TableCell, TableRow
from odf.text import P
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


def test_a_struck_row_of_an_open_document_is_asked_about(tmp_path: Path) -> None:
    document = OpenDocumentSpreadsheet()
    struck = Style(name="struck", family="table-cell")
    struck.addElement(TextProperties(textlinethroughstyle="solid", textlinethroughtype="single"))
    document.automaticstyles.addElement(struck)
    table = OpenTable(name="x")
    for texts, style in ((HEADINGS, None), (("A1", *SIZE), None), (("A2", *SIZE), struck)):
        row = TableRow()
        for text in texts:
            cell = TableCell(valuetype="string", **({"stylename": style} if style else {}))
            cell.addElement(P(text=text))
            row.addElement(cell)
        table.addElement(row)
    document.spreadsheet.addElement(table)
    path = tmp_path / "struck.ods"
    document.save(path)
    asked = finding(read(path), "3")
    assert (asked.verdict.value, asked.proposal) == ("question", "skip")
    assert [each.label for each in read(path, accept_proposals=True).openings] == ["A1"]


@pytest.mark.parametrize(
    ("label", "said"),
    [("A1 (x2)", 2), ("A1 (2x)", 2), ("A1 (2 off)", 2), ("A1 x2", 2), ("3 @ A2", 3), ("2x A1", 2), ("4 pcs A1", 4)],
)
def test_a_number_of_pieces_in_the_label_is_asked_about(tmp_path: Path, label: str, said: int) -> None:
    path = workbook(tmp_path, {"x": [(*HEADINGS, "qty"), (label, *SIZE, None), ("B", *SIZE, 1)]})
    asked = finding(read(path), "D2")
    assert (asked.verdict.value, asked.proposal) == ("question", str(said))
    assert [each.quantity for each in read(path, accept_proposals=True).openings] == [said, 1]
    assert [each.quantity for each in read(path, answers={"x!D2": "1"}).openings] == [1, 1]


@pytest.mark.parametrize("label", ["A1", "A1 (2)", "30 x 40", "W-2x", "Apt 2 (kitchen)", "2nd floor left", "A (3rd)"])
def test_a_label_that_speaks_of_no_number_of_pieces_is_not_asked_about(tmp_path: Path, label: str) -> None:
    assert serious(read(workbook(tmp_path, {"x": [HEADINGS, (label, *SIZE)]}))) == []


def test_a_label_that_agrees_with_the_quantity_is_not_asked_about(tmp_path: Path) -> None:
    reading = read(workbook(tmp_path, {"x": [(*HEADINGS, "qty"), ("A1 (x2)", *SIZE, 2)]}))
    assert serious(reading) == []


def test_without_a_quantity_column_the_row_asks_for_the_pieces_in_its_label(tmp_path: Path) -> None:
    path = workbook(tmp_path, {"x": [HEADINGS, ("3 @ A2", *SIZE)]})
    assert finding(read(path), "2").kind == "quantity in the label"
    assert [each.quantity for each in read(path, answers={"x!2": "3"}).openings] == [3]


GROUPED = ("unit", *HEADINGS)


def test_a_name_that_stands_once_above_its_group_is_taken_over_and_said(tmp_path: Path) -> None:
    rows = [GROUPED, ("101", "a", *SIZE), (None, "b", *SIZE), ("102", "c", *SIZE), (None, "d", *SIZE)]
    reading = read(workbook(tmp_path, {"x": rows}))
    assert [each.unit for each in reading.openings] == ["101", "101", "102", "102"]
    assert "first in row 3 below 101; the name above is taken over" in finding(reading, "A1").message
    assert serious(reading) == []


def test_a_name_is_not_taken_over_into_the_next_building(tmp_path: Path) -> None:
    rows = [("building", *GROUPED), ("A", "101", "a", *SIZE), (None, None, "b", *SIZE), ("B", None, "c", *SIZE),
            (None, "201", "d", *SIZE)]  # fmt: skip
    reading = read(workbook(tmp_path, {"x": rows}))
    assert [(each.building, each.unit) for each in reading.openings] == [
        ("A", "101"),
        ("A", "101"),
        ("B", ""),
        ("B", "201"),
    ]


def test_an_answered_cell_is_no_blank_one(tmp_path: Path) -> None:
    rows = [GROUPED, ("101", "a", *SIZE), ("101", "b", *SIZE), (None, "c", *SIZE)]
    reading = read(workbook(tmp_path, {"x": rows}), answers={"x!A4": "103"})
    assert serious(reading) == []
    assert [each.unit for each in reading.openings] == ["101", "101", "103"]


def test_a_column_of_names_with_gaps_is_asked_about_once(tmp_path: Path) -> None:
    rows = [GROUPED, ("101", "a", *SIZE), ("101", "b", *SIZE), (None, "c", *SIZE), (None, "d", *SIZE)]
    path = workbook(tmp_path, {"x": rows})
    asked = finding(read(path), "A1")
    assert (asked.verdict.value, asked.proposal, asked.kind) == ("question", "above", "blank below a name")
    assert [each.unit for each in read(path, accept_proposals=True).openings] == ["101"] * 4
    assert [each.unit for each in read(path, answers={"x!A1": "none"}).openings] == ["101", "101", "", ""]


def test_an_order_is_taken_over_only_when_that_is_answered(tmp_path: Path) -> None:
    rows = [("order", *HEADINGS), ("7", "a", *SIZE), (None, "b", *SIZE), ("8", "c", *SIZE), (None, "d", *SIZE)]
    path = workbook(tmp_path, {"x": rows})
    assert finding(read(path), "A1").verdict.value == "question"
    assert [each.order for each in read(path, answers={"x!A1": "none"}).openings] == ["7", "", "8", ""]


def test_sizes_above_the_headings_are_asked_about(tmp_path: Path) -> None:
    path = workbook(tmp_path, {"x": [("Old house 12",), ("A0", *SIZE), HEADINGS, ("A1", *SIZE)]})
    asked = finding(read(path), "2")
    assert (asked.verdict.value, asked.proposal) == ("question", "skip")
    assert serious(read(path, accept_proposals=True)) == []


def test_numbers_in_a_title_above_the_headings_are_no_sizes(tmp_path: Path) -> None:
    path = workbook(tmp_path, {"x": [("Job", 2026, "north"), ("Date", None, 3), HEADINGS, ("A1", *SIZE)]})
    assert serious(read(path)) == []


LONG = "bedroom window left of the balcony, tenant was not in"


@pytest.mark.parametrize("below", [True, False])
def test_a_long_line_that_may_be_an_opening_is_asked_about(tmp_path: Path, below: bool) -> None:
    rows = [HEADINGS, ("A1", *SIZE), (LONG,), ("A2", *SIZE)] if not below else [HEADINGS, ("A1", *SIZE), (LONG,)]
    path = workbook(tmp_path, {"x": rows})
    asked = finding(read(path), "3")
    assert (asked.verdict.value, asked.proposal, asked.kind) == ("question", "skip", "line of text")
    skipped = read(path, answers={"every line of text": "skip"})
    assert serious(skipped) == []
    parked = read(path, answers={"x!3": "park"})
    assert parked.problem is not None
    assert [each.label for each in parked.problem.parked] == [LONG]


def test_a_remark_below_the_openings_is_only_said(tmp_path: Path) -> None:
    remark = "All sizes are in inches, taken to the nearest sixteenth"
    assert serious(read(workbook(tmp_path, {"x": [HEADINGS, ("A1", *SIZE), (remark,)]}))) == []


def test_the_order_of_width_and_height_is_read_in_other_languages(tmp_path: Path) -> None:
    reading = read(workbook(tmp_path, {"x": [("Pos", "Höhe x Breite in mm"), ("1", "1054 x 702")]}))
    assert serious(reading) == []
    assert reading.openings[0].widths == (mm(702),)


def test_units_in_a_row_below_the_headings_belong_to_the_headings(tmp_path: Path) -> None:
    rows = [("mark", "width", "height", "qty"), (None, "mm", "mm", "pcs"), ("A1", 702, 1054, 2)]
    reading = read(workbook(tmp_path, {"x": rows}))
    assert serious(reading) == []
    assert [(each.widths[0], each.quantity) for each in reading.openings] == [(mm(702), 2)]
