"""The workbook to fill in: untouched it holds no job, filled in it is one."""

import zipfile
from pathlib import Path

import openpyxl

from service.sheets.template import write_template
from solver.lengths import inches
from tests.service.sheets.sheet_makers import read, serious

SHEETS = ["how to", "openings", "rules", "profiles", "sticks", "meshes", "rolls", "packs", "splines", "leftovers",
          "kits", "suppliers"]  # fmt: skip


def _template(folder: Path) -> Path:
    path = folder / "template.xlsx"
    write_template(path)
    return path


def test_the_template_has_a_sheet_for_everything_a_job_can_say(tmp_path: Path) -> None:
    assert openpyxl.load_workbook(_template(tmp_path)).sheetnames == SHEETS


def test_the_same_template_is_written_every_time(tmp_path: Path) -> None:
    first = _template(tmp_path).read_bytes()
    assert _template(tmp_path).read_bytes() == first


def test_the_untouched_template_holds_no_opening_and_says_that_examples_are_skipped(tmp_path: Path) -> None:
    reading = read(_template(tmp_path))
    assert serious(reading) == ["openings error: no row holds an opening; write one row each"]
    assert {finding.message for finding in reading.findings if finding.verdict.value == "notice"} == {
        "skipped: an example row"
    }


def test_the_example_rows_are_good_rows_once_they_are_no_examples(tmp_path: Path) -> None:
    book = openpyxl.load_workbook(_template(tmp_path))
    for name in SHEETS[1:]:
        cell = book[name].cell(2, 1)
        cell.value = str(cell.value).removeprefix("example").strip() or None
    path = tmp_path / "filled.xlsx"
    book.save(path)
    reading = read(path)
    assert serious(reading) == []
    assert reading.problem is not None
    opening = reading.problem.openings[0]
    assert (opening.label, opening.widths, opening.slot_width) == ("A-3-301-K1", (inches(27, 5, 8),), inches(0, 3, 8))
    assert [stick.length for stick in reading.problem.catalogue.sticks] == [inches(96), inches(41, 3, 8)]


def test_every_heading_explains_itself_and_choices_come_as_drop_downs(tmp_path: Path) -> None:
    path = _template(tmp_path)
    sheet = openpyxl.load_workbook(path)["openings"]
    assert [cell.value for cell in sheet[1] if cell.value and cell.comment is None] == []
    with zipfile.ZipFile(path) as archive:
        openings = archive.read("xl/worksheets/sheet2.xml").decode()
    assert '"channel bottoms,channel lips,deep channel,face,stops,old screen,finished size"' in openings
