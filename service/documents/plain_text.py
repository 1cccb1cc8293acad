"""Text that stays text: what a cell of a spreadsheet or a page may hold, whatever the office typed."""

from __future__ import annotations

import re
import unicodedata

LONGEST_CELL = 32_767
"""Characters a spreadsheet cell may hold (ECMA-376 part 1, annex on limits; value from memory)."""

_CONTROL = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\ud800-\udfff\ufffe\uffff]")
_FORMULA_START = ("=", "+", "-", "@", "\t", "\r", "\n")


def plain(text: str) -> str:
    r"""Return text without characters that no document may hold, cut to what a cell holds.

    Examples
    --------
    >>> plain("unit\x00 4")
    'unit 4'
    """
    return _CONTROL.sub("", text)[:LONGEST_CELL]


def csv_plain(text: str) -> str:
    """Return text that a spreadsheet program opening a CSV file does not take for a formula.

    A text that would start a formula, also behind spaces or as a full-width
    sign, gets an apostrophe in front.

    References
    ----------
    OWASP community page "CSV Injection".

    Examples
    --------
    >>> csv_plain("=HYPERLINK(1)"), csv_plain("B2-104"), csv_plain(" -2")
    ("'=HYPERLINK(1)", 'B2-104', "' -2")
    """
    text = plain(text)
    probe = unicodedata.normalize("NFKC", text).lstrip(" \u00a0")
    return f"'{text}" if probe.startswith(_FORMULA_START) or text.startswith(_FORMULA_START) else text


def one_line(text: str) -> str:
    r"""Return text on one line, for labels and tables.

    Examples
    --------
    >>> one_line("two\n lines")
    'two lines'
    """
    return " ".join(plain(text).split())
