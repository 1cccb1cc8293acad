"""The user's own file comes back with its faults marked and explained, and nothing else changed."""

import zipfile
from pathlib import Path

import openpyxl
import pytest
import xlsxwriter

from service.sheets.checked import MOST_ROWS, checked_suffix, write_checked
from service.sheets.files import read_tables
from service.sheets.findings import Finding, Verdict
from service.sheets.findings_list import HEADINGS
from tests.service.sheets.sheet_makers import csv_file, read, widths

MADE = Path(__file__).parent / "made_files"
_OPEN = "urn:oasis:names:tc:opendocument:xmlns"
MADE_HEAD = (
    f'<office:document-content xmlns:office="{_OPEN}:office:1.0" xmlns:table="{_OPEN}:table:1.0" '
    f'xmlns:text="{_OPEN}:text:1.0" xmlns:style="{_OPEN}:style:1.0" xmlns:fo="{_OPEN}:xsl-fo-compatible:1.0">'
    "<office:automatic-styles><style:style/></office:automatic-styles><office:body><office:spreadsheet>"
    '<table:table table:name="openings">'
)
MADE_TAIL = "</table:table></office:spreadsheet></office:body></office:document-content>"
RED, AMBER = "FFF4B6B6", "FFFFE08A"


def _checked(path: Path) -> Path:
    out = path.with_name("checked.xlsx")
    write_checked(path, out, read(path).findings)
    return out


def _rich_workbook(folder: Path) -> Path:
    """Write a workbook with a chart, a drop-down, a comment, a formula and a coloured faulty cell."""
    path = folder / "rich.xlsx"
    with xlsxwriter.Workbook(path) as book:
        sheet = book.add_worksheet("openings")
        sheet.write_row(0, 0, ("label", "width (in)", "height (in)", "twice"))
        bold = book.add_format({"bold": True, "num_format": "0.000", "border": 1})
        sheet.write_row(1, 0, ("K1", "27 5/8", 41.5))
        sheet.write_row(2, 0, ("K2", "thirty", 41.5))
        sheet.write_number(3, 1, 27625, bold)
        sheet.write_row(3, 2, (41.5,))
        sheet.write_string(3, 0, "K3")
        sheet.write_string(4, 0, "K4")
        sheet.write_number(4, 2, 40)
        sheet.write_formula(1, 3, "=C2*2", None, 83)
        sheet.write_comment(1, 1, "measured twice")
        sheet.data_validation(1, 0, 9, 0, {"validate": "list", "source": ["K1", "K2", "K3", "K4"]})
        chart = book.add_chart({"type": "column"})
        chart.add_series({"values": "=openings!$C$2:$C$5"})
        sheet.insert_chart("H2", chart)
    return path


def test_faulty_cells_are_filled_and_keep_the_rest_of_their_look(tmp_path: Path) -> None:
    sheet = openpyxl.load_workbook(_checked(_rich_workbook(tmp_path)))["openings"]
    assert [sheet[cell].fill.fgColor.rgb for cell in ("B3", "B4", "B5")] == [RED, AMBER, RED]
    assert (sheet["B4"].font.bold, sheet["B4"].number_format, sheet["B4"].border.left.style) == (True, "0.000", "thin")
    assert sheet["B2"].fill.fill_type is None


def test_each_fault_is_explained_right_of_the_table_and_listed(tmp_path: Path) -> None:
    book = openpyxl.load_workbook(_checked(_rich_workbook(tmp_path)))
    assert book["openings"]["F3"].value == "B3: thirty is no length; write one such as 27 5/8"
    assert [cell.value for cell in book["findings"][1]] == list(HEADINGS)
    assert [(row[0], row[1], row[2]) for row in book["findings"].iter_rows(min_row=2, values_only=True)] == [
        ("openings", "D1", "notice"),
        ("openings", "B3", "error"),
        ("openings", "B4", "question"),
        ("openings", "B5", "error"),
    ]


def test_everything_else_stays_byte_for_byte(tmp_path: Path) -> None:
    path = _rich_workbook(tmp_path)
    with zipfile.ZipFile(path) as before, zipfile.ZipFile(_checked(path)) as after:
        changed = {name for name in before.namelist() if before.read(name) != after.read(name)}
        assert changed == {
            "xl/worksheets/sheet1.xml", "xl/styles.xml", "xl/workbook.xml", "xl/_rels/workbook.xml.rels",
            "[Content_Types].xml",
        }  # fmt: skip
        assert set(after.namelist()) - set(before.namelist()) == {"xl/worksheets/findings1.xml"}
        sheet = after.read("xl/worksheets/sheet1.xml")
        assert b"<f>C2*2</f><v>83</v>" in sheet
        assert b"<dataValidation " in sheet


def test_a_checked_workbook_can_be_checked_again(tmp_path: Path) -> None:
    path = _rich_workbook(tmp_path)
    out = _checked(path)
    assert [(each.address, each.message) for each in read(out).findings] == [
        (each.address, each.message) for each in read(path).findings
    ]
    again = out.with_name("again.xlsx")
    write_checked(out, again, read(out).findings)
    assert openpyxl.load_workbook(again).sheetnames == ["openings", "findings", "findings 2"]


def test_what_stands_in_the_cells_never_becomes_a_formula(tmp_path: Path) -> None:
    book = openpyxl.load_workbook(
        _checked(csv_file(tmp_path, "label,width (in),height (in)\n=1+1,=HYPERLINK(A1),40\n"))
    )
    texts = [cell for sheet in book for row in sheet.iter_rows() for cell in row if isinstance(cell.value, str)]
    assert "=HYPERLINK(A1)" in [cell.value for cell in texts]
    assert {cell.data_type for cell in texts} == {"s"}


@pytest.mark.parametrize("separator", [",", ";"])
def test_a_text_table_comes_back_as_a_workbook_with_the_same_cells(tmp_path: Path, separator: str) -> None:
    text = "label,width (in),height (in)\n007,thirty,41 1/2\nK2,,40\n".replace(",", separator)
    book = openpyxl.load_workbook(_checked(csv_file(tmp_path, text)))
    sheet = book["openings"]
    assert [cell.value for cell in sheet[2]] == [
        "007",
        "thirty",
        "41 1/2",
        None,
        "B2: thirty is no length; write one such as 27 5/8",
    ]
    assert [sheet[cell].fill.fgColor.rgb for cell in ("B2", "B3")] == [RED, RED]
    assert book.sheetnames == ["openings", "findings"]


@pytest.mark.slow
def test_a_very_long_list_gets_a_fresh_list_of_findings(tmp_path: Path) -> None:
    path = widths(tmp_path, ["thirty", *["27 5/8"] * MOST_ROWS])
    book = openpyxl.load_workbook(_checked(path))
    assert book.sheetnames == ["findings"]
    assert book["findings"]["A1"].value == "the file has over 20,000 rows; this is the list of its findings"


def test_an_open_document_keeps_everything_but_its_marks(tmp_path: Path) -> None:
    path = tmp_path / "small.ods"
    path.write_bytes((MADE / "small.ods").read_bytes())
    out = tmp_path / "checked.ods"
    write_checked(path, out, read(path).findings)
    with zipfile.ZipFile(path) as before, zipfile.ZipFile(out) as after:
        assert [member.filename for member in before.infolist()] == [member.filename for member in after.infolist()]
        assert [n for n in before.namelist() if before.read(n) != after.read(n)] == ["content.xml"]
        assert after.infolist()[0].compress_type == zipfile.ZIP_STORED
        assert b'fo:background-color="#f4b6b6"' in after.read("content.xml")
    openings, listed = read_tables(out)
    assert dict(openings.rows)[4][:3] == ["K3", "thirty", 40.0]
    assert dict(openings.rows)[4][-1] == "B4: thirty is no length; write one such as 27 5/8"
    assert (listed.name, listed.rows[0][1]) == ("findings", list(HEADINGS))
    assert [each.message for each in read(out).findings] == [each.message for each in read(path).findings]


def _open_row(texts: tuple[str, ...], attributes: str = "") -> str:
    cells = (
        f'<table:table-cell office:value-type="string"><text:p>{text}</text:p></table:table-cell>' for text in texts
    )
    return f"<table:table-row{attributes}>{''.join(cells)}</table:table-row>"


def test_one_of_many_repeated_rows_is_marked_alone(tmp_path: Path) -> None:
    alike = _open_row(("K1", "thirty", "40"), ' table:number-rows-repeated="3"')
    content = MADE_HEAD + _open_row(("label", "width (in)", "height (in)")) + alike + MADE_TAIL
    path = tmp_path / "repeated.ods"
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
        archive.writestr("content.xml", content)
    out = tmp_path / "checked.ods"
    finding = Finding(sheet="openings", cell="B3", verdict=Verdict.ERROR, message="wrong")
    write_checked(path, out, [finding])
    openings = read_tables(out)[0]
    assert [(number, values[-1]) for number, values in openings.rows] == [
        (1, "height (in)"), (2, "40"), (3, "B3: wrong"), (4, "40"),
    ]  # fmt: skip


def test_a_workbook_with_macros_stays_one(tmp_path: Path) -> None:
    path = _rich_workbook(tmp_path)
    macros = tmp_path / "macros.xlsm"
    with zipfile.ZipFile(path) as before, zipfile.ZipFile(macros, "w") as after:
        for name in before.namelist():
            after.writestr(name, before.read(name).replace(b"sheet.main+xml", b"sheet.macroEnabled.main+xml"))
        after.writestr("xl/vbaProject.bin", b"macros")
    out = tmp_path / "checked.xlsm"
    write_checked(macros, out, read(macros).findings)
    assert checked_suffix(out.read_bytes()) == ".xlsm"
    assert zipfile.ZipFile(out).read("xl/vbaProject.bin") == b"macros"


def test_a_workbook_damaged_where_only_writing_looks_comes_back_as_a_copy(tmp_path: Path) -> None:
    path = _rich_workbook(tmp_path)
    content = bytearray(path.read_bytes())
    with zipfile.ZipFile(path) as archive:
        member = archive.getinfo("[Content_Types].xml")
    end = member.header_offset + 30 + len(member.filename) + member.compress_size
    content[end - 20 : end] = bytes(20)
    path.write_bytes(content)
    assert openpyxl.load_workbook(_checked(path))["openings"]["A2"].value == "K1"
