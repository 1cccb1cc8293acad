"""Tables of cells, whatever file they came from: the border between file formats and records."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from dataclasses import dataclass, field
from enum import Enum
from typing import TypeAlias


class Shape(Enum):
    """What a number was shown as, where that changes its meaning."""

    PERCENT = "percent"
    CURRENCY = "currency"
    UNIT = "unit"
    OTHER = "something else"
    """No length: ``unit`` says what, such as kg."""


@dataclass(frozen=True, slots=True)
class Shown:
    """A number whose format changes its meaning; ``unit`` is what the format writes behind it."""

    number: float
    shape: Shape
    unit: str = ""


class Missing(Enum):
    """Why a cell has no value although something stands in it."""

    ERROR = "error"
    FORMULA = "formula without a value"
    DATE = "date out of range"


@dataclass(frozen=True, slots=True)
class Fault:
    """A cell without a usable value: an error such as #REF!, or a formula nobody calculated."""

    text: str
    missing: Missing = Missing.ERROR


Value: TypeAlias = (
    str | float | bool | datetime.date | datetime.datetime | datetime.time | datetime.timedelta | Shown | Fault | None
)
"""One cell. None is blank; a date and time of midnight is a plain date; percentages are Shown as fractions of 1."""


@dataclass(frozen=True, slots=True)
class Merge:
    """A merged block, rows and columns counted from 1 and 0, ends included."""

    first_row: int
    first_column: int
    last_row: int
    last_column: int


@dataclass(kw_only=True, slots=True)
class Table:
    """One sheet: its rows that hold anything, with the row numbers of the file.

    ``rows`` are (row number from 1, values from column A); trailing blanks are cut.
    ``cut_off`` names, in the office's words, what was not read because it lies too far out.
    """

    name: str
    rows: list[tuple[int, list[Value]]]
    hidden: bool = False
    hidden_rows: frozenset[int] = frozenset()
    hidden_columns: frozenset[int] = frozenset()
    merges: tuple[Merge, ...] = ()
    struck: frozenset[tuple[int, int]] = frozenset()
    """Cells whose text is struck through: row from 1, column from 0."""
    text_only: bool = False
    """Whether every value is text because the file knows nothing else (CSV)."""
    decimal_comma: bool = False
    """Whether the file as a whole writes decimals with a comma."""
    cut_off: tuple[str, ...] = field(default=())

    def visible_rows(self) -> Iterator[tuple[int, list[Value]]]:
        """Yield the rows that are not hidden."""
        for number, values in self.rows:
            if number not in self.hidden_rows:
                yield number, values


def column_letters(column: int) -> str:
    """Return the letters of a column counted from 0.

    Examples
    --------
    >>> column_letters(0), column_letters(25), column_letters(26), column_letters(16383)
    ('A', 'Z', 'AA', 'XFD')
    """
    letters = ""
    number = column + 1
    while number:
        number, rest = divmod(number - 1, 26)
        letters = chr(65 + rest) + letters
    return letters


def column_number(letters: str) -> int:
    """Return a column counted from 0 from its letters.

    Examples
    --------
    >>> column_number("A"), column_number("XFD")
    (0, 16383)
    """
    number = 0
    for letter in letters:
        number = number * 26 + ord(letter) - 64
    return number - 1


def address(row: int, column: int) -> str:
    """Return a cell's address within its sheet: row counted from 1, column from 0.

    Examples
    --------
    >>> address(17, 2)
    'C17'
    """
    return f"{column_letters(column)}{row}"


def _clock(hours: int, minutes: int, seconds: int) -> str:
    return f"{hours}:{minutes:02}:{seconds:02}" if seconds else f"{hours}:{minutes:02}"


def cell_text(value: Value) -> str:
    """Return a cell as a person would type it back.

    Examples
    --------
    >>> cell_text(27.625), cell_text(3.0), cell_text(datetime.date(2026, 3, 8)), cell_text(Shown(0.5, Shape.PERCENT))
    ('27.625', '3', '2026-03-08', '50 %')
    """
    match value:
        case None:
            return ""
        case bool():
            return "TRUE" if value else "FALSE"
        case str():
            return " ".join(value.split())
        case float() | int():
            return f"{value:.15g}"
        case datetime.datetime():
            return value.isoformat(" ", "minutes")
        case Shown(number=number, shape=Shape.PERCENT):
            return f"{number * 100:.15g} %"
        case Shown(number=number, unit=unit):
            return f"{number:.15g} {unit}".strip()
        case Fault(text=text):
            return text
        case datetime.time():
            return _clock(value.hour, value.minute, value.second)
        case datetime.timedelta():
            minutes, seconds = divmod(value // datetime.timedelta(seconds=1), 60)
            return _clock(*divmod(minutes, 60), seconds)
        case _:
            return str(value)
