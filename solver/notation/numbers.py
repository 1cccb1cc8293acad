"""Numbers to lengths: decimal marks, and decimals that no tape shows."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from enum import Enum
from fractions import Fraction

from solver.errors import LengthError
from solver.lengths import Ticks, Unit, mm_text, tape_text, ticks
from solver.notation.answers import Doubt, Doubtful, Refused, Result, Understood

IMPERIAL = ("in", "ft")
"""Units written as tape fractions; the others are metric."""

_LARGEST = Decimal(10) ** 7
_PLAIN = re.compile(r"[0-9]+(?:\.[0-9]+)?|\.[0-9]+")
_ONE_MARK = re.compile(r"([0-9]+)([.,])([0-9]+)")
_GROUPED = re.compile(r"([0-9]{1,3}(?:([.,' ])[0-9]{3})+)(?:([.,])([0-9]+))?")


class Comma(Enum):
    """What a lone comma in a number means in one file."""

    UNKNOWN = "unknown"
    DECIMAL = "decimal"


@dataclass(frozen=True, kw_only=True, slots=True)
class Number:
    """What a written number may stand for, as plain decimals, the likeliest first; one is beyond doubt if ``sure``."""

    sure: bool
    values: tuple[str, ...]


def plain_number(written: str, comma: Comma) -> Number | None:
    """Return what a written number may stand for, or None if it is no number.

    Examples
    --------
    >>> plain_number("1.234,5", Comma.UNKNOWN)
    Number(sure=True, values=('1234.5',))
    >>> plain_number("27,625", Comma.UNKNOWN)
    Number(sure=False, values=('27.625', '27625'))
    """
    if _PLAIN.fullmatch(written):
        if comma is Comma.DECIMAL and re.fullmatch(r"[1-9][0-9]{0,2}\.[0-9]{3}", written):
            return Number(sure=False, values=(written.replace(".", ""), written))
        return Number(sure=True, values=(written,))
    if one := _ONE_MARK.fullmatch(written):
        whole, _, rest = one.groups()
        decimal = f"{whole}.{rest}"
        if comma is Comma.DECIMAL:
            return Number(sure=True, values=(decimal,))
        thousands = len(rest) == 3 and 1 <= len(whole) <= 3 and not whole.startswith("0")
        return Number(sure=False, values=(decimal, whole + rest) if thousands else (decimal,))
    if grouped := _GROUPED.fullmatch(written):
        whole, group_mark, decimal_mark, rest = grouped.groups()
        if decimal_mark == group_mark or any(mark != group_mark for mark in re.findall(r"[.,' ]", whole)):
            return None
        plain = re.sub(r"[.,' ]", "", whole)
        values = (f"{plain}.{rest}" if rest else plain,)
        return Number(sure=group_mark != " ", values=values)
    return None


def read_number(number: Decimal | float | int, *, unit: str) -> Result:
    """Return the length a number stands for in ``unit`` (mm, cm, m, in or ft).

    A floating-point number counts with its first 15 digits, as spreadsheet
    programs show it.

    Examples
    --------
    >>> read_number(27.625, unit="in")
    Understood(length=224536, note='')
    >>> read_number(27.63, unit="in").proposal
    '27 5/8'
    """
    exact = Decimal(f"{number:.15g}") if isinstance(number, float) else Decimal(number)
    if not exact.is_finite() or abs(exact) > _LARGEST:
        return Refused(message=f"{number} is no length; write the reading as it stood on the tape")
    if exact < 0:
        return Refused(
            message=f"{exact:f} is below 0; a dash or a plus may have been typed behind it; write the reading alone"
        )
    try:
        return Understood(length=ticks(exact, unit))
    except LengthError:
        return _finer_than_a_tick(exact, unit)


def nearest_tape(exact: Fraction, tolerance: Fraction) -> Fraction:
    """Return the coarsest of 16ths, 32nds and 64ths within ``tolerance`` of a number of inches, or the nearest 64th."""
    for denominator in (16, 32, 64):
        near = Fraction(round(exact * denominator), denominator)
        if abs(near - exact) <= tolerance:
            return near
    return Fraction(round(exact * 64), 64)


def written(length: Ticks, unit: str) -> str:
    """Return a length as text that reads back as the same length beside bare numbers in ``unit``.

    Examples
    --------
    >>> written(ticks(36, "in"), "ft"), written(ticks("70.2", "cm"), "cm"), written(ticks(1, "in"), "in")
    ('36 in', '702 mm', '1')
    """
    if unit in IMPERIAL:
        text = tape_text(length)
        if text.startswith("~"):
            return f"{mm_text(length)} mm"
        return text if unit == "in" else f"{text} in"
    text = mm_text(length)
    return text if unit == Unit.MM.value else f"{text} mm"


def _finer_than_a_tick(exact: Decimal, unit: str) -> Result:
    number = Fraction(exact)
    decimals = max(0, -int(exact.as_tuple().exponent))
    tolerance = Fraction(1, 2 * 10**decimals)
    if unit in IMPERIAL:
        as_inches = number * (12 if unit == "ft" else 1)
        in_mm = as_inches * Fraction(254, 10)
        tenths = round(in_mm * 10)
        if decimals > 4 and abs(in_mm * 10 - tenths) < Fraction(1, 10**6):
            proposal = f"{mm_text(Ticks(tenths * 32))} mm"
        else:
            near = nearest_tape(as_inches, tolerance * (12 if unit == "ft" else 1))
            proposal = written(ticks(near, "in"), unit)
        return Doubtful(
            doubt=Doubt.TAPE,
            message=f"{exact:f} {unit} is no tape reading; write 16ths, 32nds or 64ths, such as {proposal}",
            proposal=proposal,
        )
    in_mm = Fraction(ticks(1, unit), 320) * number
    tape = nearest_tape(in_mm / Fraction(254, 10), Fraction(0))
    if abs(tape * Fraction(254, 10) - in_mm) <= Fraction(1, 200):
        proposal = f"{tape_text(ticks(tape, 'in'))} in"
    else:
        proposal = written(Ticks(round(in_mm * 10) * 32), unit)
    return Doubtful(
        doubt=Doubt.TAPE,
        message=f"{exact:f} {unit} is finer than a tape shows; write tenths of a millimetre, such as {proposal}",
        proposal=proposal,
    )
