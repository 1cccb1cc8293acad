"""Text tables in every encoding and with every separator, decimals with a comma where the file shows it."""

from pathlib import Path

import pytest

from service.errors import SheetError
from solver.lengths import inches, mm
from tests.service.sheets.sheet_makers import csv_file, finding, read, serious


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "cp1252", "utf-16", "utf-16-le", "utf-16-be"])
@pytest.mark.parametrize("separator", [",", ";", "\t", "|"])
def test_encoding_and_separator_are_found(tmp_path: Path, encoding: str, separator: str) -> None:
    lines = [("label", "width (in)", "height (in)", "note"), ("Küche", "27 5/8", '41 1/2"', "très bien")]
    text = "\n".join(separator.join(cells) for cells in lines)
    reading = read(csv_file(tmp_path, text, encoding))
    assert serious(reading) == []
    assert (reading.openings[0].label, reading.openings[0].widths) == ("Küche", (inches(27, 5, 8),))


def test_a_first_line_may_name_the_separator(tmp_path: Path) -> None:
    reading = read(csv_file(tmp_path, "sep=;\nlabel;width (in);height (in)\nK1;27 5/8;41 1/2\n"))
    assert reading.openings[0].label == "K1"


def test_decimal_commas_are_beyond_doubt_where_the_whole_file_writes_them(tmp_path: Path) -> None:
    reading = read(csv_file(tmp_path, "Nr;Breite (mm);Höhe (mm)\nK1;702,5;1054,2\nK2;1.203,5;900,125\n"))
    assert serious(reading) == []
    assert [each.widths[0] for each in reading.openings] == [mm("702.5"), mm("1203.5")]


def test_a_lone_comma_is_asked_about_where_other_numbers_have_points(tmp_path: Path) -> None:
    reading = read(csv_file(tmp_path, "label;width (mm);height (mm)\nK1;702,5;1054.2\n"))
    assert finding(reading, "B2").proposal == "702.5"


def test_three_digits_behind_a_comma_are_asked_about_with_both_readings(tmp_path: Path) -> None:
    reading = read(csv_file(tmp_path, 'label,width (in),height (in)\nK1,"27,625",41 1/2\n'))
    assert "27.625 or 27625" in finding(reading, "B2").message


def test_a_missing_quotation_mark_is_said(tmp_path: Path) -> None:
    text = 'label,width (in),height (in),note\nK1,27 5/8,41 1/2,"tight\n' + "K2,27 5/8,41 1/2,\n" * 30
    with pytest.raises(SheetError, match="quotation mark may be missing"):
        read(csv_file(tmp_path, text))


def test_row_numbers_count_lines_with_quoted_line_breaks_once(tmp_path: Path) -> None:
    reading = read(csv_file(tmp_path, 'label,width (in),height (in),note\nK1,27 5/8,41 1/2,"a\nb"\nK2,x,40,\n'))
    assert finding(reading, "B3").text == "x"
