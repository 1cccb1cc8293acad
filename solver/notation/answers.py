"""The three verdicts on a written length."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from typing import TypeAlias

from solver.lengths import Ticks


class Doubt(Enum):
    """Why a length is asked about; doubts of one kind can be answered all alike."""

    COMMA = "comma"
    """A comma or point that may mark decimals or thousands."""
    TAPE = "tape"
    """A number or fraction that no tape shows; a rounded one is likely."""
    SPACE = "space"
    """The space between whole inches and fraction is missing or replaced."""
    IMPROPER = "improper"
    """A fraction of one inch or more behind whole inches, or inches beyond a foot."""
    UNSURE = "unsure"
    """The writer was not sure: about, a question mark, a plus."""
    REMARK = "remark"
    """A remark stands in the cell."""
    TWO_SIZES = "two sizes"
    """Width and height in one cell."""
    UNIT = "unit"
    """The number fits another unit better."""
    DATE = "date"
    """A spreadsheet program turned what was typed into a date."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Understood:
    """A length beyond doubt. ``note`` is a remark that stood beside it and was confirmed."""

    length: Ticks
    note: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class Doubtful:
    """A length to be asked about; ``proposal`` is the text that would be beyond doubt.

    ``others`` are further texts it may stand for, ``note`` a remark to keep.
    """

    doubt: Doubt
    message: str
    proposal: str
    others: tuple[str, ...] = ()
    note: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class Refused:
    """No length; ``message`` says why and what to write."""

    message: str


Result: TypeAlias = Understood | Doubtful | Refused
