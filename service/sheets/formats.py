"""What a number format says about the number behind it."""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import Enum
from functools import cache

from service.sheets.cells import Shape


class Family(Enum):
    """What a number format makes of a number."""

    PLAIN = "plain"
    DATE = "date"
    TIME = "time"
    SHOWN = "shown"


@dataclass(frozen=True, slots=True)
class Format:
    """A number format, understood."""

    family: Family = Family.PLAIN
    shape: Shape = Shape.UNIT
    unit: str = ""


PLAIN = Format()

_BUILT_IN: dict[int, str] = {
    5: '"$"#,##0', 6: '"$"#,##0', 7: '"$"#,##0.00', 8: '"$"#,##0.00', 9: "0%", 10: "0.00%",
    14: "mm-dd-yy", 15: "d-mmm-yy", 16: "d-mmm", 17: "mmm-yy", 18: "h:mm AM/PM", 19: "h:mm:ss AM/PM", 20: "h:mm",
    21: "h:mm:ss", 22: "m/d/yy h:mm", 41: "_(#,##0_)", 42: '_("$"#,##0_)', 43: "_(#,##0.00_)", 44: '_("$"#,##0.00_)',
    45: "mm:ss", 46: "[h]:mm:ss", 47: "mmss.0", **dict.fromkeys(range(27, 32), "yyyy/m/d"),
    **dict.fromkeys(range(34, 37), "yyyy/m/d"), **dict.fromkeys(range(50, 59), "yyyy/m/d"),
}  # fmt: skip
"""Formats that a file names by number alone (ISO/IEC 29500-1, 18.8.30; 27 to 58 depend on the language)."""

_QUOTED = re.compile(r'"([^"]*)"|\\(.)|_.|\*.')
_CURRENCY = re.compile(r"\[\$[^\]-]+(-[0-9A-Fa-f]+)?\]|[$€£¥]")
_LANGUAGE = re.compile(r"\[\$-[^\]]*\]")
"""Names the language of a date or number and no currency."""
_BRACKETS = re.compile(r"\[[^\]]*\]")
_ELAPSED = re.compile(r"\[(h+|m+|s+)\]", re.IGNORECASE)
_UNITS = {
    "mm": "mm", "cm": "cm", "m": "m", "in": "in", "in.": "in", "inch": "in", "inches": "in", '"': "in", "″": "in",
    "”": "in", "''": "in", "ft": "ft", "ft.": "ft", "'": "ft", "′": "ft", "feet": "ft",
}  # fmt: skip

_NO_LENGTHS = {
    "kg", "g", "lb", "lbs", "oz", "t", "l", "m2", "m²", "sqm", "sq m", "m^2", "sqft", "sq ft", "sf", "ft2", "ft²", "h",
    "min", "°", "deg", "pcs", "pc", "stk", "st", "ea", "km", "yd", "mi", "w", "kw",
}  # fmt: skip
"""What a format may write behind a number that is then no length in one of our units."""


def built_in(number: int) -> Format:
    """Return the format behind one of the numbers that need no format text."""
    return number_format(_BUILT_IN[number]) if number in _BUILT_IN else PLAIN


@cache
def number_format(code: str) -> Format:
    r"""Return what a format code makes of a number.

    References
    ----------
    ISO/IEC 29500-1, 18.8.31 (numFmts): sections by semicolon, literals in quotes
    or behind a backslash, d m y h s for dates and times.

    Examples
    --------
    >>> number_format("# ?/?"), number_format('0.0" mm"')
    (Format(family=<Family.PLAIN: 'plain'>, shape=<Shape.UNIT: 'unit'>, unit=''), Format(family=<Family.SHOWN: 'shown'>, shape=<Shape.UNIT: 'unit'>, unit='mm'))
    >>> number_format("d-mmm").family, number_format("[h]:mm").family
    (<Family.DATE: 'date'>, <Family.TIME: 'time'>)
    """  # noqa: E501
    first = _LANGUAGE.sub("", _first_section(code))
    if _CURRENCY.search(_QUOTED.sub(lambda found: found[1] or found[2] or "", first)):
        return Format(Family.SHOWN, Shape.CURRENCY)
    literal = "".join((found[1] or found[2] or "") for found in _QUOTED.finditer(first)).strip().lower()
    bare = _QUOTED.sub("", first)
    elapsed = _ELAPSED.search(bare)
    bare = _BRACKETS.sub("", bare).lower()
    if bare.strip() == "general" or bare.strip() == "@":
        bare = ""
    if "%" in bare:
        return Format(Family.SHOWN, Shape.PERCENT)
    if elapsed:
        return Format(Family.TIME)
    letters = set(re.sub(r"am/pm|a/p|e[+-]", "", bare)) & set("dymhs")
    if letters & {"d", "y"} or letters == {"m"}:
        return Format(Family.DATE)
    if letters:
        return Format(Family.TIME)
    if literal in _UNITS:
        return Format(Family.SHOWN, Shape.UNIT, _UNITS[literal])
    if literal in _NO_LENGTHS:
        return Format(Family.SHOWN, Shape.OTHER, literal)
    return PLAIN


def other_word(text: str) -> str:
    """Return what a text behind a number names that is no length, such as kg, or an empty text."""
    word = text.strip().lower()
    return word if word in _NO_LENGTHS else ""


def unit_word(text: str) -> str:
    """Return the unit that a text behind a number names, or an empty text.

    Examples
    --------
    >>> unit_word(" mm"), unit_word("\u2033"), unit_word("pcs")
    ('mm', 'in', '')
    """
    return _UNITS.get(text.strip().lower(), "")


def _first_section(code: str) -> str:
    quoted = False
    for position, letter in enumerate(code):
        if letter == '"' and not code.endswith("\\", 0, position):
            quoted = not quoted
        elif letter == ";" and not quoted:
            return code[:position]
    return code
