"""The same cells are the same job, whatever program wrote them and however its XML looks."""

import datetime
import re
import zipfile
from collections.abc import Callable
from pathlib import Path

import openpyxl
import pytest
import xlsxwriter
from hypothesis import given
from hypothesis import strategies as st

from service.sheets.cells import Value
from service.sheets.files import read_tables
from service.sheets.xlsx_cells import SheetFrame, raw_rows
from solver.lengths import inches
from tests.service.sheets.hostile_files import MAIN, sheet, xlsx
from tests.service.sheets.sheet_makers import finding, read, workbook

ROWS: list[tuple[object, ...]] = [
    ("label", "width (in)", "height (in)", "note", "escape"),
    ("K1", 27.625, 41.5, "a < b & c", True),
    ("K2", "27⅝", 0.1, "two\nlines", False),
    ("K3", datetime.date(2026, 3, 8), -1, " ", None),
]
MADE = Path(__file__).parent / "made_files"


def _by_one_program(folder: Path) -> Path:
    return workbook(folder, {"openings": ROWS})


def _by_another(folder: Path, constant_memory: bool = False) -> Path:
    path = folder / "other.xlsx"
    with xlsxwriter.Workbook(path, {"constant_memory": constant_memory, "default_date_format": "yyyy-mm-dd"}) as book:
        sheet = book.add_worksheet("openings")
        for number, row in enumerate(ROWS):
            for column, value in enumerate(row):
                if isinstance(value, datetime.date):
                    sheet.write_datetime(number, column, value)
                else:
                    sheet.write(number, column, value)
    return path


def _row_by_row(folder: Path) -> Path:
    return _by_another(folder, constant_memory=True)


def _streamed(folder: Path) -> Path:
    path = folder / "streamed.xlsx"
    book = openpyxl.Workbook(write_only=True)
    sheet = book.create_sheet("openings")
    for row in ROWS:
        sheet.append(list(row))
    book.save(path)
    return path


def _rewritten(folder: Path, change: Callable[[str], str]) -> Path:
    """Return the first workbook with the XML of its sheet written another way."""
    path = folder / "rewritten.xlsx"
    with zipfile.ZipFile(_by_one_program(folder)) as before, zipfile.ZipFile(path, "w") as after:
        for name in before.namelist():
            content = before.read(name).decode()
            after.writestr(name, change(content) if name.startswith("xl/worksheets/") else content)
    return path


def _with_prefixes(folder: Path) -> Path:
    def change(xml: str) -> str:
        return re.sub(r"<(/?)(\w)", r"<\1x:\2", xml).replace("xmlns=", "xmlns:x=")

    return _rewritten(folder, change)


def _without_addresses(folder: Path) -> Path:
    return _rewritten(folder, lambda xml: re.sub(r' r="[A-Z]+[0-9]+"| r="[0-9]+"', "", xml))


def _with_comments_and_blanks(folder: Path) -> Path:
    return _rewritten(folder, lambda xml: xml.replace("<c ", "\n  <!-- a cell -->\n  <c "))


def _in_sixteen_bits(folder: Path) -> Path:
    path = folder / "wide.xlsx"
    with zipfile.ZipFile(_by_one_program(folder)) as before, zipfile.ZipFile(path, "w") as after:
        for name in before.namelist():
            content = before.read(name)
            if name.startswith("xl/worksheets/"):
                content = ('<?xml version="1.0" encoding="UTF-16"?>' + content.decode()).encode("utf-16")
            after.writestr(name, content)
    return path


@pytest.mark.parametrize(
    "make",
    [
        _by_another,
        _row_by_row,
        _streamed,
        _with_prefixes,
        _without_addresses,
        _with_comments_and_blanks,
        _in_sixteen_bits,
    ],
)
def test_every_way_to_write_a_workbook_gives_the_same_cells(tmp_path: Path, make: Callable[[Path], Path]) -> None:
    (expected,) = read_tables(_by_one_program(tmp_path))
    (table,) = read_tables(make(tmp_path))
    assert table.rows == expected.rows


@pytest.mark.parametrize("name", ["small.xls", "small.ods"])
def test_old_and_open_document_workbooks_give_the_same_job(name: str) -> None:
    reading = read(MADE / name)
    assert [opening.widths for opening in reading.openings] == [(inches(27, 5, 8),), (inches(27, 5, 8),)]
    assert (reading.openings[0].note, finding(reading, "B4").text) == ("très bien", "thirty")


def test_dates_count_from_1904_where_the_workbook_says_so(tmp_path: Path) -> None:
    path = tmp_path / "mac.xlsx"
    with xlsxwriter.Workbook(path, {"date_1904": True}) as book:
        sheet = book.add_worksheet("openings")
        sheet.write_row(0, 0, ("label", "width (in)", "height (in)"))
        sheet.write_row(1, 0, ("K1", 27.625, 41.5))
        sheet.write_datetime(1, 1, datetime.datetime(2026, 3, 8), book.add_format({"num_format": "d-mmm"}))
    assert finding(read(path), "B2").proposal == "3/8"


def test_a_text_made_of_runs_is_one_text_without_its_reading_aids(tmp_path: Path) -> None:
    shared = [f"<sst {MAIN}><si><r><t>27</t></r><r><t> 5/8</t></r><rPh><t>aid</t></rPh></si></sst>"]
    cells = '<c r="A2" t="inlineStr"><is><t>K1</t></is></c><c r="B2" t="s"><v>0</v></c><c r="C2"><v>41.5</v></c>'
    path = xlsx(tmp_path / "runs.xlsx", sheet([f'<row r="2">{cells}</row>']), shared)
    assert read(path, unit="in").openings[0].widths == (inches(27, 5, 8),)


cell_values = st.one_of(
    st.none(),
    st.floats(min_value=-1e6, max_value=1e6),
    st.text(alphabet=st.characters(codec="utf-8", exclude_categories=("Cc", "Cs")), max_size=8),
    st.booleans(),
)


@given(rows=st.lists(st.lists(cell_values, max_size=5), max_size=5), cut=st.integers(min_value=1, max_value=400))
def test_the_fast_and_the_careful_way_through_a_sheet_agree(rows: list[list[Value]], cut: int) -> None:
    """Wherever the pieces of the file are cut, and whether or not a comment makes the reader careful."""
    from xml.sax.saxutils import escape

    def cell(value: Value, row: int, column: int) -> str:
        start = f'<c r="{"ABCDE"[column]}{row}"'
        if value is None:
            return start + "/>"
        if isinstance(value, bool):
            return f'{start} t="b"><v>{int(value)}</v></c>'
        if isinstance(value, str):
            return f'{start} t="inlineStr"><is><t>{escape(value)}</t></is></c>'
        return f"{start}><v>{value!r}</v></c>"

    lines = [
        f'<row r="{number}">{"".join(cell(value, number, column) for column, value in enumerate(row))}</row>'
        for number, row in enumerate(rows, 1)
    ]
    whole = f"<worksheet {MAIN}><sheetData>{''.join(lines)}</sheetData></worksheet>".encode()
    careful = whole.replace(b"<sheetData>", b"<sheetData><!-- -->")
    pieces = [whole[start : start + cut] for start in range(0, len(whole), cut)]
    assert list(raw_rows(iter(pieces), SheetFrame())) == list(raw_rows(iter([careful]), SheetFrame()))
