"""No file and no table breaks the reader: it ends in findings or in one clear refusal. Fixed budgets."""

import datetime
import io
import random
import string
import zipfile
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from service.errors import SheetError
from service.job_settings import JobSettings
from service.sheets.cells import Fault, Shape, Shown, Table, Value
from service.sheets.findings import Verdict
from service.sheets.job import read_job_tables
from service.sheets.read import read_job
from tests.service.sheets.sheet_makers import widths, workbook

MADE = Path(__file__).parent / "made_files"
BUDGET = 300
"""Broken copies of each kind of file."""


def _originals(folder: Path) -> dict[str, bytes]:
    path = folder / "text.csv"
    path.write_text("label;width (in);height (in)\nK1;27 5/8;41,5\nK2;30;40\n")
    rows = [("label", "width (in)", "height (in)"), ("K1", "27 5/8", datetime.date(2026, 3, 8)), ("K2", 30, True)]
    return {
        "xlsx": workbook(folder, {"openings": rows, "rules": [("rule", "value"), ("kerf", "1/8")]}).read_bytes(),
        "plain": widths(folder, [27.625] * 9).read_bytes(),
        "xls": (MADE / "small.xls").read_bytes(),
        "ods": (MADE / "small.ods").read_bytes(),
        "csv": path.read_bytes(),
    }


def _broken(content: bytes, chance: random.Random) -> bytes:
    """Return a copy with bytes changed, cut out, doubled or cut off."""
    copy = bytearray(content)
    for _ in range(chance.randint(1, 12)):
        at = chance.randrange(len(copy)) if copy else 0
        match chance.randrange(5):
            case 0 | 1:
                copy[at : at + 1] = bytes([chance.randrange(256)])
            case 2:
                del copy[at : at + chance.randint(1, 60)]
            case 3:
                copy[at:at] = copy[at : at + chance.randint(1, 60)]
            case _ if chance.random() < 0.3:
                del copy[at:]
    return bytes(copy)


@pytest.mark.slow
@pytest.mark.parametrize("kind", ["xlsx", "plain", "xls", "ods", "csv"])
def test_a_broken_file_is_read_or_refused_in_words(tmp_path: Path, kind: str) -> None:
    original = _originals(tmp_path)[kind]
    chance = random.Random(f"{kind} 20261125")
    path = tmp_path / "broken"
    for _ in range(BUDGET):
        path.write_bytes(_broken(original, chance))
        _read_or_refused(path, accept=chance.random() < 0.5)


@pytest.mark.slow
def test_a_sheet_with_broken_xml_inside_a_sound_archive_is_read_or_refused(tmp_path: Path) -> None:
    original = widths(tmp_path, ["27 5/8", 30, "x"]).read_bytes()
    chance = random.Random(20261125)
    path = tmp_path / "broken.xlsx"
    for _ in range(BUDGET):
        with zipfile.ZipFile(io.BytesIO(original)) as before, zipfile.ZipFile(path, "w") as after:
            victim = chance.choice(before.namelist())
            for name in before.namelist():
                content = before.read(name)
                after.writestr(name, _broken(content, chance) if name == victim else content)
        _read_or_refused(path, accept=False)


def _read_or_refused(path: Path, *, accept: bool) -> None:
    try:
        said = [finding.message for finding in read_job(path, JobSettings(accept_proposals=accept)).findings]
    except SheetError as error:
        said = [str(error)]
    assert all(said)


odd_texts = st.one_of(
    st.text(max_size=12),
    st.text(alphabet=string.digits + " ./'\"-,xX~?()", max_size=12),
    st.sampled_from(
        ["27 5/8", "TBD", '"', "27,5", "8-Mar", "total", "width", "example", "#N/A", "yes", "choose", "5/16"]
    ),
)
odd_values: st.SearchStrategy[Value] = st.one_of(
    st.none(),
    odd_texts,
    st.floats(allow_nan=False, width=32),
    st.booleans(),
    st.dates(),
    st.times(),
    st.builds(
        Shown, st.floats(min_value=-10, max_value=1000), st.sampled_from(Shape), st.sampled_from(["", "mm", "in"])
    ),
    st.builds(Fault, st.just("#REF!")),
)
headings = st.lists(
    st.sampled_from([
        "label", "width", "height", "width (in)", "height (mm)", "w", "h", "qty", "size", "size (w x h)", "fraction",
        "16ths", None, "unit", "mesh", "colour", "slot", "diagonal 1", "diagonal 2", "escape", "mounting", "kerf",
        "bottoms clearance", "note", "measured between", "year built", "tenant",
    ]),
    min_size=2, max_size=9,
)  # fmt: skip


@settings(max_examples=300, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(
    heading=headings,
    rows=st.lists(st.lists(odd_values, max_size=9), max_size=6),
    accept=st.booleans(),
    park=st.booleans(),
    unit=st.sampled_from(["in", "mm", None]),
)
def test_any_table_ends_in_findings_or_a_problem(
    heading: list[str | None], rows: list[list[Value]], accept: bool, park: bool, unit: str | None
) -> None:
    table = Table(name="openings", rows=[(1, list(heading)), *((n, row) for n, row in enumerate(rows, 2) if row)])
    settings = JobSettings.model_validate({"accept_proposals": accept, "park_faulty_rows": park, "unit": unit})
    reading = read_job_tables([table], settings, name="job")
    open_findings = [each for each in reading.findings if each.verdict is not Verdict.NOTICE]
    assert (reading.problem is None) == bool(open_findings)
    if accept:
        assert all(each.verdict is not Verdict.QUESTION or not each.proposal for each in open_findings)
