"""Text made plain before it is read: spaces, dashes, primes and printed fractions."""

from __future__ import annotations

import re

_PRINTED_FRACTIONS = {
    "¼": "1/4", "½": "1/2", "¾": "3/4", "⅐": "1/7", "⅑": "1/9", "⅒": "1/10", "⅓": "1/3", "⅔": "2/3",
    "⅕": "1/5", "⅖": "2/5", "⅗": "3/5", "⅘": "4/5", "⅙": "1/6", "⅚": "5/6", "⅛": "1/8", "⅜": "3/8",
    "⅝": "5/8", "⅞": "7/8", "⅟": "1/", "↉": "0/3",
}  # fmt: skip

SMALL_DIGITS = frozenset("⁰¹²³⁴⁵⁶⁷⁸⁹₀₁₂₃₄₅₆₇₈₉")
"""Raised and lowered digits; outside a fraction they are footnote marks, never figures of a reading."""
_SMALL_DIGITS = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹₀₁₂₃₄₅₆₇₈₉", "01234567890123456789")
_SMALL_FRACTION = re.compile(r"([⁰¹²³⁴⁵⁶⁷⁸⁹]+)\s*[/⁄∕]\s*([₀₁₂₃₄₅₆₇₈₉]+|[0-9]+)")

_MARKS = str.maketrans(
    {
        **dict.fromkeys(map(chr, (0xA0, 0x1680, *range(0x2000, 0x200B), 0x202F, 0x205F, 0x3000)), " "),
        **dict.fromkeys("\t\r\n\v\f\u2028\u2029", " "),
        **dict.fromkeys("\u200b\u200c\u200d\u2060\ufeff\u00ad\u200e\u200f", ""),
        **dict.fromkeys("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069", ""),
        **dict.fromkeys("⁄∕", "/"),
        **dict.fromkeys("‐‑‒–—―−﹣", "-"),
        **dict.fromkeys("′’‘ʹ´`ʼ", "'"),
        **dict.fromkeys("″“”„‟ʺ〃", '"'),
        **dict.fromkeys("×✕✖⨯", "x"),
        **dict.fromkeys("≈∼～", "~"),
    }
)  # fmt: skip


def tidy(text: str) -> str:
    r"""Return a written length with plain ASCII marks, single spaces and small letters.

    Digits of other scripts stay as they are, so that they can be refused.

    Examples
    --------
    >>> tidy("27⅝ ″"), tidy("2′ 3 5⁄8″"), tidy("27\N{NO-BREAK SPACE}–\N{NO-BREAK SPACE}5/8")
    ('27 5/8 "', '2\' 3 5/8"', '27 - 5/8')
    """
    if text.isascii():
        plain = text
    else:
        plain = _SMALL_FRACTION.sub(lambda found: f" {found[1]}/{found[2]} ".translate(_SMALL_DIGITS), text)
        for printed, fraction in _PRINTED_FRACTIONS.items():
            if printed in plain:
                plain = plain.replace(printed, f" {fraction}" if fraction.endswith("/") else f" {fraction} ")
        plain = plain.translate(_MARKS)
    return " ".join(plain.split()).replace("''", '"').replace('" "', '"').lower()
