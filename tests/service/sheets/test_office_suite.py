"""Files really made by an office suite: what its three languages make of typed readings, in its three formats.

The suite is Debian's libreoffice-calc-nogui, run without a window, with its own
profile folder and a time-out. Its import of text with "detect special numbers"
does to a field what typing does to a cell.
"""

import subprocess
from collections.abc import Callable
from pathlib import Path

import openpyxl
import pytest

from service.sheets.checked import write_checked
from service.sheets.files import read_tables
from service.sheets.template import write_template
from solver.lengths import inches, mm
from tests.service.sheets.sheet_makers import formatted_cells, read, serious

pytestmark = pytest.mark.slow
ENGLISH_US, ENGLISH_GB, GERMAN = 1033, 2057, 1031
FINE, ERROR = "fine", "error"
AS_SHOWN = "csv:Text - txt - csv (StarCalc):44,34,76"

# What was typed, and what becomes of it: fine, an error, or a question with a proposal.
TYPED: dict[str, tuple[str, str, str]] = {
    "27 5/8": (FINE, FINE, FINE),
    "27-5/8": (FINE, FINE, FINE),
    "27⅝": (FINE, FINE, FINE),
    "702 mm": (FINE, FINE, FINE),
    "2' 3 5/8\"": (FINE, FINE, FINE),
    "27 10/16": (FINE, FINE, FINE),
    "3/8": ("3/8", "3/8", ERROR),
    "5/16": ("5/16", ERROR, ERROR),
    "1/2": ("1/2", "1/2", ERROR),
    "15/16": (ERROR, ERROR, ERROR),
    "1-1/2": (ERROR, ERROR, ERROR),
    "8-Mar": ("3/8", "3/8", "3/8"),
    "8.3.": (ERROR, ERROR, "3/8"),
    "1/2/2003": (ERROR, ERROR, ERROR),
    "27,625": ("27.625", "27.625", FINE),
    "27,5": ("27.5", "27.5", FINE),
    "27 4/9": ("27 7/16", "27 7/16", "27 7/16"),
    "1,234.5": ("1234.5 mm", "1234.5 mm", "1234.5 mm"),
    "1.234,5": ("1234.5 mm", "1234.5 mm", "1234.5 mm"),
    "~30": ("30", "30", "30"),
    "27 5/8 (tight)": ("27 5/8", "27 5/8", "27 5/8"),
    "27-": (ERROR, ERROR, ERROR),
    "-27": (ERROR, ERROR, ERROR),
    "1:30": (ERROR, ERROR, ERROR),
    "50%": (ERROR, ERROR, ERROR),
    "$27.50": (ERROR, ERROR, ERROR),
    "TRUE": (ERROR, ERROR, ERROR),
    "=1/0": (ERROR, ERROR, ERROR),
    "10-12": (ERROR, ERROR, ERROR),
}

Convert = Callable[..., Path]


@pytest.fixture
def convert(program: Callable[[str], str], tmp_path_factory: pytest.TempPathFactory) -> Convert:
    """Return a function that lets the suite save a file in another format."""
    suite = program("soffice")
    profile = tmp_path_factory.mktemp("profile")

    def run(path: Path, to: str, language: int | None = None) -> Path:
        out = tmp_path_factory.mktemp(to[:4].strip(":"))
        command = [suite, f"-env:UserInstallation=file://{profile}", "--headless", "--convert-to", to]
        if language is not None:
            command.append(f"--infilter=CSV:44,34,76,1,,{language},false,true")
        subprocess.run([*command, "--outdir", str(out), str(path)], check=True, timeout=120, capture_output=True)
        return out / f"{path.stem}.{to.partition(':')[0]}"

    return run


@pytest.mark.parametrize("to", ["xlsx", "ods", "xls"])
@pytest.mark.parametrize("language", [ENGLISH_US, ENGLISH_GB, GERMAN])
def test_typed_readings_keep_the_three_verdicts(convert: Convert, tmp_path: Path, language: int, to: str) -> None:
    path = tmp_path / "typed.csv"
    quoted = (text.replace('"', '""') for text in TYPED)
    lines = [f'W{number},"{text}",50' for number, text in enumerate(quoted)]
    path.write_text("\n".join(["label,width (in),height (in)", *lines]))
    reading = read(convert(path, to, language))
    found = {each.cell: each.proposal or each.verdict.value for each in reading.findings}
    column = [ENGLISH_US, ENGLISH_GB, GERMAN].index(language)
    assert {text: found.get(f"B{row}", FINE) for row, text in enumerate(TYPED, 2)} == {
        text: verdicts[column] for text, verdicts in TYPED.items()
    }


@pytest.mark.parametrize("to", ["xlsx", "ods", "xls"])
def test_number_formats_that_write_a_unit_survive_every_format(convert: Convert, tmp_path: Path, to: str) -> None:
    path = formatted_cells(tmp_path, [(702, '0" mm"'), (27.625, "# ?/?"), (0.5, "0%"), (27.5, "$#,##0.00")])
    reading = read(convert(path, to) if to != "xlsx" else path)
    assert [opening.widths[0] for opening in reading.openings] == [mm(702), inches(27, 5, 8)]
    assert [each.cell for each in reading.findings] == ["B4", "B5"]


@pytest.mark.parametrize("to", ["ods", "xls"])
def test_hidden_rows_merged_names_and_hidden_sheets_survive_every_format(
    convert: Convert, tmp_path: Path, to: str
) -> None:
    book = openpyxl.Workbook()
    sheet = book.worksheets[0]
    sheet.title = "openings"
    for row in (("unit", "mark", "width (in)", "height (in)"), ("301", "K1", 27.625, 41.5), (None, "K2", 30, 40),
                ("302", "K3", 31, 40)):  # fmt: skip
        sheet.append(row)
    sheet.merge_cells("A2:A3")
    sheet.row_dimensions[4].hidden = True
    sheet.column_dimensions["D"].hidden = True
    old = book.create_sheet("old")
    old.append(("mark", "width (in)", "height (in)"))
    old.append(("K1", 27.5, 41.5))
    old.sheet_state = "hidden"
    path = tmp_path / "hidden.xlsx"
    book.save(path)
    for made in (path, convert(path, to)):
        asked = {each.address: each.kind for each in read(made).findings if each.verdict.value == "question"}
        assert asked == {"old": "sheets", "openings!D1": "hidden columns", "openings!4": "hidden rows"}
        answers = {"old": "skip", "openings!D1": "read", "openings!4": "skip"}
        assert [each.unit for each in read(made, answers=answers).openings] == ["301", "301"]


@pytest.mark.parametrize("to", ["xlsx", "ods"])
def test_the_template_reads_alike_after_the_suite_saved_it(convert: Convert, tmp_path: Path, to: str) -> None:
    path = tmp_path / "template.xlsx"
    write_template(path)
    saved = read(convert(path, to))
    assert [(each.address, each.message) for each in saved.findings] == [
        (each.address, each.message) for each in read(path).findings
    ]


def test_the_suite_opens_a_checked_open_document(convert: Convert, tmp_path: Path) -> None:
    sample = convert(Path(__file__).parents[3] / "sample_jobs" / "faulty.xlsx", "ods")
    out = tmp_path / "checked.ods"
    write_checked(sample, out, read(sample).findings)
    saved = convert(out, "xlsx")
    assert serious(read(saved)) == serious(read(sample))
    sheet = openpyxl.load_workbook(saved)["openings"]
    assert [sheet[cell].fill.fgColor.rgb for cell in ("D6", "D15", "D26")] == ["FFFFE08A", "FFF4B6B6", "FFF4B6B6"]
    assert openpyxl.load_workbook(saved)["findings"]["A1"].value == "sheet"


def test_the_suite_opens_a_checked_workbook_and_keeps_its_marks(convert: Convert, tmp_path: Path) -> None:
    sample = Path(__file__).parents[3] / "sample_jobs" / "faulty.xlsx"
    out = tmp_path / "checked.xlsx"
    write_checked(sample, out, read(sample).findings)
    saved = convert(out, "ods")
    # The suite calculates the one formula that nobody had calculated.
    assert serious(read(saved)) == [line for line in serious(read(sample)) if "never calculated" not in line]
    openings = next(table for table in read_tables(saved) if table.name == "openings")
    explained = [values[-1] for _, values in openings.rows if isinstance(values[-1], str) and ": " in values[-1]]
    assert "D15: 15/16 is only a fraction of an inch; write the whole inches too, such as 27 15/16" in explained


def test_fractions_saved_as_shown_come_back_as_questions(convert: Convert, tmp_path: Path) -> None:
    """A text table saved from a column of simple fractions shows 27 7/16 as 27 4/9."""
    path = formatted_cells(tmp_path, [(27 + n / 16, "# ?/?") for n in (1, 3, 5, 7, 9, 11, 13, 15)])
    reading = read(convert(path, AS_SHOWN), accept_proposals=True)
    shown = {each.text for each in reading.findings if each.message.startswith("proposal")}
    assert {"27 1/3", "27 4/9", "27 5/9", "27 2/3"} <= shown
    by_label = {each.label: each.widths[0] for each in reading.openings}
    for number, sixteenths in enumerate((5, 7, 9, 11), 3):
        assert by_label[f"W{number}"] == inches(27, sixteenths, 16)
