"""Fractions that a spreadsheet program turned into dates, proposed back.

Which date a typed fraction becomes: measured with an office suite for typed
3/8, 5/16, 1/2 and 3/4; 1-1/2 to 1 January 2002 and 3/32 to March 1932 are
from memory.
"""

from __future__ import annotations

import datetime
import re

from service.sheets.verdicts import Asked, Wrong
from solver.notation import Doubt

_MONTHS = {
    "jan": 1, "feb": 2, "mar": 3, "mär": 3, "apr": 4, "may": 5, "mai": 5, "jun": 6, "jul": 7, "aug": 8, "sep": 9,
    "oct": 10, "okt": 10, "nov": 11, "dec": 12, "dez": 12, "mrz": 3, "fév": 2, "fev": 2, "avr": 4, "aoû": 8, "aou": 8,
    "déc": 12, "ene": 1, "abr": 4, "ago": 8, "dic": 12, "juin": 6, "juil": 7,
}  # fmt: skip
_NAMED = re.compile(r"(?:([0-9]{1,2})[-. /]*)?([^\W\d_]{3,9})\.?(?:[-. /]*([0-9]{1,4}))?")
_NUMBERS = re.compile(r"([0-9]{1,4})([-./])([0-9]{1,2})\2([0-9]{1,4})(?:[ T][0-9:.]+)?")
_DENOMINATORS = (2, 4, 8, 16)
_LONG_DENOMINATORS = (2, 4, 8, 16, 32, 64)


def date_verdict(date: datetime.date, shown: str) -> Asked | Wrong:
    """Return the question a date in a length column calls for, or the refusal.

    Examples
    --------
    >>> date_verdict(datetime.date(2026, 3, 8), "2026-03-08").proposal
    '3/8'
    >>> date_verdict(datetime.date(2002, 1, 1), "2002-01-01").proposal
    '1 1/2'
    """
    proposals = _fractions(date)
    if not proposals:
        return Wrong(f"{shown} is a date; format the column as text and write the reading again, such as 27 5/8")
    others = f" (it may also have been {' or '.join(proposals[1:])})" if proposals[1:] else ""
    message = (
        f"{shown} is a date; a spreadsheet program makes dates of typed fractions; "
        f"write {proposals[0]} if that was typed{others}, with the column formatted as text"
    )
    return Asked(Doubt.DATE.value, message, proposals[0])


def date_in_text(text: str) -> datetime.date | None:
    """Return the date a text shows, or None if it shows none; a missing year counts as this century's typing.

    Examples
    --------
    >>> date_in_text("8-Mar"), date_in_text("27 5/8")
    (datetime.date(2026, 3, 8), None)
    """
    plain = text.strip()
    if len(plain) > 24:
        return None
    if named := _NAMED.fullmatch(plain):
        day, name, behind = named.groups()
        month = _MONTHS.get(name.lower()[:4]) or _MONTHS.get(name.lower()[:3])
        if month is None or (day is None and behind is None):
            return None
        if day is None and behind is not None and len(behind) <= 2 and int(behind) in (32, 64):
            return _date(1900 + int(behind), month, 1)
        if day is None:
            day, behind = behind, None
        return _date(_year(behind), month, int(day))
    if numbers := _NUMBERS.fullmatch(plain):
        first, _, second, third = numbers.groups()
        if len(first) == 4:
            return _date(int(first), int(second), int(third))
        # Which of the first two is the day does not matter to the proposal.
        return _date(_year(third), int(first), int(second)) or _date(_year(third), int(second), int(first))
    return None


def _fractions(date: datetime.date) -> list[str]:
    """Return what may have been typed, the likeliest first."""
    small, large = sorted((date.day, date.month))
    simple = f"{small}/{large}" if large in _DENOMINATORS and small % 2 and small < large else None
    short_year = date.year % 100
    mixed = (
        f"{date.month} {date.day}/{short_year}"
        if short_year in _LONG_DENOMINATORS and date.day % 2 and date.day < short_year
        else None
    )
    month_first = f"{date.month}/{short_year}" if date.day == 1 and short_year in (32, 64) and date.month % 2 else None
    if month_first and date.year < 2000:
        return [month_first]
    # A plain fraction gets the year of typing. 2002, 2004 and 2008 are denominators, not years of typing.
    old_year = date.year < 2010
    found = [mixed, simple] if old_year else [simple, mixed]
    if old_year and mixed is None:
        return []
    return [proposal for proposal in found if proposal is not None]


def _year(text: str | None) -> int:
    if text is None:
        return 2026
    year = int(text)
    return year if year > 99 else (2000 + year if year < 30 else 1900 + year)


def _date(year: int, month: int, day: int) -> datetime.date | None:
    try:
        return datetime.date(year, month, day)
    except ValueError:
        return None
