"""One workbook with what goes wrong in real ones: every row of the openings but the first has its fault."""

from __future__ import annotations

import datetime
from pathlib import Path
from typing import Any

import xlsxwriter

_TITLE = "Sample job full of faults: place, sizes and prices are invented."
_HEADINGS = ("label", "building", "unit", "width (in)", "width 2 (in)", "height (in)", "slot (in)", "measured between",
             "mounting", "profile", "colour", "mesh", "qty", "escape", "notes")  # fmt: skip
_FINE: dict[str, Any] = {
    "building": "A", "unit": "101", "width (in)": "27 5/8", "height (in)": "41 1/2", "slot (in)": "3/8",
    "measured between": "channel bottoms", "mounting": "tension springs", "profile": "choose", "colour": "white",
    "mesh": "glass 18x16", "qty": 1, "escape": "no",
}  # fmt: skip
_DATE, _TIME, _PERCENT, _MONEY = "d-mmm", "h:mm", "0%", "$#,##0.00"

# What differs from a fine row, and in words what went wrong.
_ROWS: tuple[tuple[dict[str, Any], str], ...] = (
    ({}, "nothing is wrong here"),
    ({"slot (in)": (datetime.date(2026, 3, 8), _DATE)}, "3/8 became a date"),
    ({"width (in)": (datetime.date(2002, 1, 1), "yyyy-mm-dd")}, "1-1/2 became a date"),
    ({"width (in)": (datetime.date(2003, 1, 2), "yyyy-mm-dd")}, "a date that was no fraction"),
    ({"width (in)": "27,5"}, "decimal comma"),
    ({"width (in)": 27625}, "27.625 without its point"),
    ({"width (in)": "27 9/8"}, "more than an inch of fraction"),
    ({"height (in)": "41 4/9"}, "sixteenths shown as ninths"),
    ({"width (in)": "~30"}, "not sure"),
    ({"width (in)": "27 5/8 x 41 1/2"}, "two sizes in one cell"),
    ({"width (in)": "27 5/8 (tight)"}, "a remark in the cell"),
    ({"width (in)": "15/16"}, "the inches are missing"),
    ({"width (in)": "27 3/0"}, "divided by nothing"),
    ({"width (in)": -27}, "27- became -27"),
    ({"width (in)": True}, "a yes where a size belongs"),
    ({"width (in)": (datetime.time(1, 30), _TIME)}, "1:30 became a time"),
    ({"width (in)": (0.5, _PERCENT)}, "a percentage"),
    ({"width (in)": (27.5, _MONEY)}, "an amount of money"),
    ({"width (in)": "thirty"}, "a number in words"),
    ({"width (in)": "TBD"}, "not measured yet"),
    ({"height (in)": "10-12"}, "a range"),
    ({"height (in)": 702}, "millimetres in a column of inches"),
    ({"width (in)": ""}, "no width at all"),
    ({"measured between": "channel bottms"}, "a slip of the pen"),
    ({"mounting": "glue"}, "no way to mount a screen"),
    ({"qty": 0}, "none wanted"),
    ({"qty": 2.5}, "half a screen"),
    ({"escape": "maybe"}, "neither yes nor no"),
)  # fmt: skip


def write_faulty(path: Path) -> None:
    """Write the workbook of faults."""
    with xlsxwriter.Workbook(str(path), {"strings_to_formulas": False}) as book:
        book.set_properties({"title": "screenbatch sample job", "created": datetime.datetime(2026, 1, 1)})
        _openings(book)
        _sticks(book)
        _rolls(book)
        rules = book.add_worksheet("rules")
        for row, cells in enumerate((("rule", "value"), ("unit", "in"), ("kerf", "1/8"), ("kerff", "1/8"),
                                     ("spline extra", "5 percent of it"), ("size step", "0"))):  # fmt: skip
            rules.write_row(row, 0, cells)


def _openings(book: xlsxwriter.Workbook) -> None:
    sheet = book.add_worksheet("openings")
    sheet.set_column(0, len(_HEADINGS) - 1, 14)
    sheet.write_string(0, 0, _TITLE)
    sheet.write_row(2, 0, _HEADINGS)
    for number, (differs, words) in enumerate(_ROWS, 1):
        row = _FINE | {"label": f"W{number}", "notes": words} | differs
        for column, heading in enumerate(_HEADINGS):
            _write(book, sheet, number + 2, column, row.get(heading, ""))
    last = len(_ROWS) + 3
    twice = _FINE | {"label": "W1", "notes": "a label used twice"}
    for column, heading in enumerate(_HEADINGS):
        _write(book, sheet, last, column, twice.get(heading, ""))
    never = _FINE | {"label": f"W{last - 1}", "notes": "a formula with an error, and one that gives nothing usable"}
    for column, heading in enumerate(_HEADINGS):
        _write(book, sheet, last + 1, column, never.get(heading, ""))
    sheet.write_formula(last + 1, 3, "=NA()", None, "#N/A")
    sheet.write_formula(last + 1, 5, "=40+1/2", None, "")
    sheet.write_string(last + 2, 0, "Total")
    sheet.write_number(last + 2, 12, len(_ROWS))


def _sticks(book: xlsxwriter.Workbook) -> None:
    sheet = book.add_worksheet("sticks")
    for row, cells in enumerate((
        ("profile", "colour", "length", "price", "bundle", "bundle price"),
        ("5/16", "white", "94", 6.4, "", ""),
        ("5/16", "white", "144", "", "", ""),
        ("5/16", "white", "192", "about 12", "", ""),
        ("5/16", "white", "16 ft", 12.6, 25, ""),
    )):  # fmt: skip
        sheet.write_row(row, 0, cells)


def _rolls(book: xlsxwriter.Workbook) -> None:
    sheet = book.add_worksheet("rolls")
    for row, cells in enumerate((
        ("mesh", "width", "length", "price"),
        ("glass 18x16", "48", "100 ft", 76.0),
        ("glass 18x16", "36", "", 58.0),
        ("glass 18x16", "wide", "100 ft", 58.0),
    )):  # fmt: skip
        sheet.write_row(row, 0, cells)


def _write(book: xlsxwriter.Workbook, sheet: Any, row: int, column: int, cell: Any) -> None:
    value, code = cell if isinstance(cell, tuple) else (cell, "")
    style = book.add_format({"num_format": code}) if code else None
    if isinstance(value, datetime.date | datetime.time):
        sheet.write_datetime(row, column, value, style)
    elif isinstance(value, str):
        sheet.write_string(row, column, value, style) if value else None
    else:
        sheet.write(row, column, value, style)
