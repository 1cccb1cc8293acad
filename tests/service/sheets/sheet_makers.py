"""Small job files for tests: what a person would type, in the file formats they come in."""

import datetime
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import openpyxl
import xlsxwriter

from service.job_settings import JobSettings
from service.sheets.findings import Finding, JobReading
from service.sheets.read import read_job

HEADINGS = ("label", "width (in)", "height (in)")


def csv_file(folder: Path, text: str, encoding: str = "utf-8") -> Path:
    """Write a text table."""
    path = folder / "windows.csv"
    path.write_bytes(text.encode(encoding))
    return path


def workbook(folder: Path, sheets: dict[str, Sequence[Sequence[Any]]], name: str = "job.xlsx") -> Path:
    """Write a workbook with one program: texts, numbers, dates and formulas as they are given."""
    path = folder / name
    book = openpyxl.Workbook()
    book.remove(book.worksheets[0])
    for title, rows in sheets.items():
        sheet = book.create_sheet(title)
        for row in rows:
            sheet.append(list(row))
    book.save(path)
    return path


def formatted_cells(folder: Path, cells: Sequence[tuple[Any, str]]) -> Path:
    """Write a workbook of widths with another program, each with its number format; heights are fine."""
    path = folder / "formatted.xlsx"
    with xlsxwriter.Workbook(path) as book:
        sheet = book.add_worksheet("openings")
        sheet.write_row(0, 0, HEADINGS)
        for number, (value, code) in enumerate(cells, 1):
            style = book.add_format({"num_format": code}) if code else None
            sheet.write_string(number, 0, f"W{number}")
            if isinstance(value, datetime.date | datetime.time):
                sheet.write_datetime(number, 1, value, style)
            else:
                sheet.write(number, 1, value, style)
            sheet.write_number(number, 2, 41.5)
    return path


def widths(folder: Path, cells: Sequence[Any], headings: Sequence[str] = HEADINGS) -> Path:
    """Write a workbook of widths as they are; labels and heights are fine."""
    rows = [list(headings)] + [[f"W{number}", cell, 41.5] for number, cell in enumerate(cells, 1)]
    return workbook(folder, {"openings": rows})


def read(path: Path, **settings: Any) -> JobReading:
    """Read a job file."""
    return read_job(path, JobSettings(**settings))


def finding(reading: JobReading, cell: str) -> Finding:
    """Return the one finding in a cell."""
    (found,) = [each for each in reading.findings if each.cell == cell]
    return found


def serious(reading: JobReading) -> list[str]:
    """Return the errors and questions of a reading as lines."""
    return [
        f"{each.address} {each.verdict.value}: {each.message}"
        for each in reading.findings
        if each.verdict.value != "notice"
    ]
