"""A job workbook written in our own layout: the template and the sample jobs."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import TypeAlias

import xlsxwriter
from xlsxwriter.format import Format as CellFormat
from xlsxwriter.worksheet import Worksheet

from service.sheets.columns import Column, Content, Kind, rule_columns
from service.sheets.rules_sheet import JOB_CURRENCY, JOB_NAME, JOB_UNIT, usual_value, written_kind
from solver.lengths import Unit
from solver.rules import RuleScope

Cell: TypeAlias = str | int | float
Entry: TypeAlias = Mapping[str, Cell | Sequence[Cell]]
"""One row: our heading word to the cell, or to several cells where a column is repeated."""

BLANK_ROWS = 500
"""Rows below the entries that are formatted and carry drop-downs."""

_MADE = datetime.datetime(2026, 1, 1)
_HEADING = {"bold": True, "border": 1, "text_wrap": True, "valign": "top"}
_SECOND = ("width 2", "width 3", "height 2", "height 3", "diagonal 2", "stick length 2", "sticks 2")


@dataclass(frozen=True, kw_only=True)
class JobSheet:
    """One sheet of a job workbook: what its rows are, and the rows."""

    kind: Kind
    entries: Sequence[Entry] = ()
    remark: str = ""
    """Stands above the heading, such as where invented prices come from."""


@dataclass(frozen=True, kw_only=True)
class JobWorkbook:
    """Everything a job workbook shows. ``rules`` maps a rule's words to its value."""

    how_to: Sequence[str]
    sheets: Sequence[JobSheet]
    job: Mapping[str, str] = field(default_factory=dict)
    rules: Mapping[str, Cell] = field(default_factory=dict)


def write_job_workbook(path: Path, workbook: JobWorkbook) -> None:
    """Write a job workbook; the same content gives the same bytes."""
    with xlsxwriter.Workbook(str(path), {"strings_to_formulas": False, "strings_to_urls": False}) as book:
        book.set_properties({"title": "screenbatch job workbook", "created": _MADE})
        styles = _Styles(
            heading=book.add_format(
                {"bold": True, "bg_color": "#DDE8EE", "border": 1, "text_wrap": True, "valign": "top"}
            ),
            needed=book.add_format(
                {"bold": True, "bg_color": "#BFD7E3", "border": 1, "text_wrap": True, "valign": "top"}
            ),
            text=book.add_format({"num_format": "@"}),
            money=book.add_format({"num_format": "0.00"}),
            wrapped=book.add_format({"text_wrap": True, "valign": "top"}),
            title=book.add_format({"bold": True, "font_size": 14}),
            remark=book.add_format({"italic": True}),
        )
        _how_to(book.add_worksheet("how to"), workbook.how_to, styles)
        for sheet in workbook.sheets:
            _table(book.add_worksheet(sheet.kind.name), sheet, styles)
            if sheet.kind.name == "openings":
                _rules(book.add_worksheet("rules"), workbook, styles)
        book.get_worksheet_by_name("openings").activate()


@dataclass(frozen=True)
class _Styles:
    heading: CellFormat
    needed: CellFormat
    text: CellFormat
    money: CellFormat
    wrapped: CellFormat
    title: CellFormat
    remark: CellFormat


def shown_columns(kind: Kind) -> list[tuple[str, Column]]:
    """Return the headings of a kind of sheet as we write them: repeated columns as often as they are read.

    Rules of single openings are left out; any of them may be added as a column.
    """
    rules = {column.word for column in rule_columns()}
    shown: list[tuple[str, Column]] = []
    for column in kind.columns:
        if column.word in rules or column.field in {"width_datum", "height_datum", "unit_of_measure", "size"}:
            continue
        shown.append((column.word, column))
        if column.repeated:
            shown.extend((word, column) for word in _SECOND if word[:-2] == column.word)
    return shown


def _how_to(sheet: Worksheet, lines: Iterable[str], styles: _Styles) -> None:
    sheet.set_column(0, 0, 100)
    for row, line in enumerate(lines):
        sheet.write_string(row, 0, line, styles.title if row == 0 else styles.wrapped)
    sheet.set_paper(9)
    sheet.fit_to_pages(1, 0)


def _table(sheet: Worksheet, wanted: JobSheet, styles: _Styles) -> None:
    top = 0
    if wanted.remark:
        sheet.write_string(0, 0, wanted.remark, styles.remark)
        top = 2
    columns = shown_columns(wanted.kind)
    last = top + len(wanted.entries) + BLANK_ROWS
    for index, (word, column) in enumerate(columns):
        kind_of_text = column.content.is_length or column.content is Content.TEXT
        style = styles.text if kind_of_text else styles.money if column.content is Content.MONEY else None
        sheet.set_column(index, index, _width(word, column, wanted.entries), style)
        sheet.write_string(top, index, word, styles.needed if column.needed else styles.heading)
        if column.note:
            sheet.write_comment(top, index, column.note, {"x_scale": 1.8, "y_scale": 1.2})
        if column.offered:
            options = {"validate": "list", "source": list(column.offered), "error_type": "warning"}
            sheet.data_validation(top + 1, index, last, index, options)
    for row, entry in enumerate(wanted.entries, top + 1):
        for index, cell in enumerate(_cells(entry, columns)):
            if cell is not None and cell != "":
                _write(sheet, row, index, cell, columns[index][1], styles)
    sheet.freeze_panes(top + 1, 1)
    sheet.set_landscape()
    sheet.set_paper(9)
    sheet.fit_to_pages(1, 0)
    sheet.repeat_rows(top)
    sheet.set_footer("&L&F&CPage &P of &N&R&A")


def _write(sheet: Worksheet, row: int, index: int, cell: Cell, column: Column, styles: _Styles) -> None:
    if isinstance(cell, str):
        sheet.write_string(row, index, cell, styles.text)
    else:
        sheet.write_number(row, index, cell, styles.money if column.content is Content.MONEY else None)


def _cells(entry: Entry, columns: Sequence[tuple[str, Column]]) -> list[Cell | None]:
    """Return the cells of a row; the second value of a repeated column goes below its second heading."""
    cells: list[Cell | None] = []
    seen: dict[str, int] = {}
    for word, column in columns:
        value = entry.get(word, entry.get(column.word))
        if isinstance(value, Sequence) and not isinstance(value, str):
            turn = seen.get(column.word, 0)
            seen[column.word] = turn + 1
            cells.append(value[turn] if turn < len(value) else None)
        elif word == column.word or word in entry:
            cells.append(value)
        else:
            cells.append(None)
    return cells


def _width(word: str, column: Column, entries: Sequence[Entry]) -> int:
    longest = max((len(str(entry.get(word, ""))) for entry in entries[:200]), default=0)
    return min(36, max(len(word.split()[-1]) + 4, 9, longest + 2, 12 if column.offered else 0))


def _rules(sheet: Worksheet, workbook: JobWorkbook, styles: _Styles) -> None:
    heads = ("rule", "value", "usual, inches", "usual, millimetres", "how it is written", "what it is")
    for index, (head, width) in enumerate(zip(heads, (24, 16, 22, 22, 24, 70), strict=True)):
        sheet.set_column(index, index, width, styles.text if index == 1 else None)
        sheet.write_string(0, index, head, styles.heading)
    lines = [
        (JOB_NAME, "text", "name of the job; the file's name if empty"),
        (JOB_UNIT, "in or mm", "unit of bare numbers and of the plan"),
        (JOB_CURRENCY, "text", "shown behind amounts of money, such as USD"),
    ]
    for row, (word, how, what) in enumerate(lines, 1):
        for index, text in enumerate((word, workbook.job.get(word, ""), "", "", how, what)):
            sheet.write_string(row, index, text, styles.text)
    sheet.data_validation(2, 1, 2, 1, {"validate": "list", "source": ["in", "mm"]})
    for row, column in enumerate(rule_columns(), 1 + len(lines)):
        scope = "; may also stand as a column of the openings" if _of_openings(column) else ""
        usual = (usual_value(column, Unit.INCH), usual_value(column, Unit.MM))
        value = str(workbook.rules.get(column.word, ""))
        for index, text in enumerate((column.word, value, *usual, written_kind(column), column.note + scope)):
            sheet.write_string(row, index, text, styles.text)
        if column.offered:
            sheet.data_validation(row, 1, row, 1, {"validate": "list", "source": list(column.offered)})
    sheet.freeze_panes(1, 1)
    sheet.set_landscape()
    sheet.set_paper(9)
    sheet.fit_to_pages(1, 0)
    sheet.repeat_rows(0)
    sheet.set_footer("&L&F&CPage &P of &N&R&A")


def _of_openings(column: Column) -> bool:
    return column.word in {each.word for each in rule_columns(wanted=lambda scope: scope is RuleScope.OPENING)}
