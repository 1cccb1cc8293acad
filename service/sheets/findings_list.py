"""Findings as a sheet of their own, in a workbook of their own or beside a copy of the cells."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Sequence
from pathlib import Path

import xlsxwriter
from xlsxwriter.worksheet import Worksheet

from service.sheets.cells import Table, address, cell_text
from service.sheets.findings import Finding, Verdict

HEADINGS = ("sheet", "cell", "verdict", "what stands there", "what is wrong and what to write", "proposal")
WIDTHS = (18, 9, 11, 26, 100, 24)
_MADE = datetime.datetime(2026, 1, 1)
_FILLS = {Verdict.ERROR: "#F4B6B6", Verdict.QUESTION: "#FFE08A"}
_OPTIONS = {"strings_to_formulas": False, "strings_to_urls": False, "strings_to_numbers": False}


def finding_row(finding: Finding) -> tuple[str, ...]:
    """Return a finding as the texts of one row."""
    return (finding.sheet, finding.cell, finding.verdict.value, finding.text, finding.message, finding.proposal)


def findings_by_row(findings: Iterable[Finding]) -> dict[int, list[Finding]]:
    """Return the errors and questions of one sheet by the row they are about."""
    found: dict[int, list[Finding]] = {}
    for finding in findings:
        digits = finding.cell.lstrip("ABCDEFGHIJKLMNOPQRSTUVWXYZ")
        if finding.verdict is not Verdict.NOTICE and digits.isdecimal():
            found.setdefault(int(digits), []).append(finding)
    return found


def explained(finding: Finding) -> str:
    """Return a finding as it stands beside its row."""
    proposal = f" (proposal: {finding.proposal})" if finding.proposal else ""
    return f"{finding.cell}: {finding.message}{proposal}"


def write_findings_list(out: Path, findings: Sequence[Finding], note: str = "") -> None:
    """Write a workbook that only lists the findings."""
    with xlsxwriter.Workbook(str(out), {**_OPTIONS, "constant_memory": True}) as book:
        book.set_properties({"title": "findings", "created": _MADE})
        _list(book, book.add_worksheet("findings"), findings, note)


def write_marked_copy(out: Path, tables: Sequence[Table], findings: Sequence[Finding]) -> None:
    """Write a copy of the cells as a workbook, faulty ones marked and explained beside, with the list of findings."""
    with xlsxwriter.Workbook(str(out), _OPTIONS) as book:
        book.set_properties({"title": "checked", "created": _MADE})
        fills = {verdict: book.add_format({"bg_color": colour}) for verdict, colour in _FILLS.items()}
        taken: set[str] = set()
        for table in tables:
            sheet = book.add_worksheet(_sheet_name(table.name, taken))
            marks = {
                finding.cell: fills[finding.verdict]
                for finding in sorted(findings, key=lambda each: each.verdict is Verdict.ERROR)
                if finding.sheet == table.name and finding.verdict is not Verdict.NOTICE
            }
            _copy(sheet, table, findings, marks)
        _list(book, book.add_worksheet(_sheet_name("findings", taken)), findings, "")


def _copy(sheet: Worksheet, table: Table, findings: Sequence[Finding], marks: dict[str, object]) -> None:
    free = max((len(values) for _, values in table.rows), default=0) + 1
    beside = findings_by_row(finding for finding in findings if finding.sheet == table.name)
    for number, values in table.rows:
        for column, value in enumerate(values):
            mark = marks.pop(address(number, column), None)
            if value is None:
                if mark is not None:
                    sheet.write_blank(number - 1, column, None, mark)
            elif isinstance(value, float) and not isinstance(value, bool):
                sheet.write_number(number - 1, column, value, mark)
            else:
                sheet.write_string(number - 1, column, cell_text(value), mark)
        for column in range(len(values), free):
            if (mark := marks.pop(address(number, column), None)) is not None:
                sheet.write_blank(number - 1, column, None, mark)
        if number in beside:
            sheet.write_string(number - 1, free, "; ".join(map(explained, beside[number]))[:30_000])


def _list(book: xlsxwriter.Workbook, sheet: Worksheet, findings: Sequence[Finding], note: str) -> None:
    heading = book.add_format({"bold": True, "bg_color": "#DDE8EE"})
    for column, width in enumerate(WIDTHS):
        sheet.set_column(column, column, width)
    top = 0
    if note:
        sheet.write_string(0, 0, note)
        top = 2
    sheet.write_row(top, 0, HEADINGS, heading)
    for row, finding in enumerate(findings, top + 1):
        for column, text in enumerate(finding_row(finding)):
            sheet.write_string(row, column, text[:30_000])
    sheet.freeze_panes(top + 1, 0)
    sheet.autofilter(top, 0, top + len(findings), len(HEADINGS) - 1)


def _sheet_name(name: str, taken: set[str]) -> str:
    """Return a name a sheet may have that no other has yet."""
    plain = "".join("_" if letter in "[]:*?/\\" else letter for letter in name).strip("'")[:28] or "sheet"
    candidate, number = plain, 2
    while candidate.casefold() in taken:
        candidate, number = f"{plain} {number}", number + 1
    taken.add(candidate.casefold())
    return candidate
