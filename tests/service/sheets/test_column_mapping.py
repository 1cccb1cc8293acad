"""A table with headings of its own is read by the user's mapping, which is remembered for tables of its shape."""

from pathlib import Path
from typing import Any

from solver.lengths import inches
from tests.service.sheets.sheet_makers import read, serious, workbook

ROWS: list[tuple[Any, ...]] = [("kenn", "x1", "x2"), ("K1", "27 5/8", "41 1/2")]
WORDS = {"label": "kenn", "width": "x1", "height": "x2"}


def test_headings_are_read_as_the_settings_map_them(tmp_path: Path) -> None:
    reading = read(workbook(tmp_path, {"Tabelle1": ROWS}), columns=WORDS)
    assert serious(reading) == []
    assert reading.openings[0].widths == (inches(27, 5, 8),)


def test_a_sheet_called_columns_maps_them_too(tmp_path: Path) -> None:
    columns = [("our column", "your heading"), *WORDS.items()]
    reading = read(workbook(tmp_path, {"Tabelle1": ROWS, "columns": columns}))
    assert reading.openings[0].label == "K1"


def test_a_mapping_is_remembered_for_a_table_of_the_same_shape(tmp_path: Path) -> None:
    first = read(workbook(tmp_path, {"Tabelle1": ROWS}), columns=WORDS)
    again = workbook(tmp_path, {"June": [("June survey",), ROWS[0], ("K9", "30", "40 1/2")]}, "other.xlsx")
    reading = read(again, remembered_columns={first.shape: dict(first.columns)})
    assert [each.label for each in reading.openings] == ["K9"]
    assert "columns as they were given for a table of this shape: label = kenn, width = x1, height = x2" in [
        each.message for each in reading.findings
    ]


def test_a_mapping_is_not_used_for_another_shape(tmp_path: Path) -> None:
    first = read(workbook(tmp_path, {"Tabelle1": ROWS}), columns=WORDS)
    other = workbook(tmp_path, {"June": [("kenn", "x1", "y"), ("K9", 30, 40)]}, "other.xlsx")
    assert read(other, remembered_columns={first.shape: dict(first.columns)}).openings == ()


def test_a_word_we_do_not_have_is_refused(tmp_path: Path) -> None:
    reading = read(workbook(tmp_path, {"Tabelle1": ROWS}), columns=WORDS | {"girth": "x2"})
    assert serious(reading)[0].startswith("settings column girth error: there is no column girth")
