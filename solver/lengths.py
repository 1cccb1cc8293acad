"""Exact lengths: one tick is 1/320 mm, so tape fractions and tenths of a millimetre are whole.

1 in = 25.4 mm exactly (NIST SP 811), hence 8,128 ticks; 1/64 in = 127 ticks.
"""

from __future__ import annotations

from decimal import Decimal
from enum import Enum
from fractions import Fraction
from typing import NewType

from solver.errors import LengthError

Ticks = NewType("Ticks", int)
"""A length in whole 1/320 mm."""

TICKS_PER_MM = 320
TICKS_PER_INCH = 8_128
TICKS_PER_SIXTY_FOURTH = 127


class Unit(Enum):
    """The unit a shop reads and writes."""

    INCH = "in"
    MM = "mm"


_UNIT_TICKS = {"mm": Fraction(320), "cm": Fraction(3_200), "m": Fraction(320_000)}
_UNIT_TICKS |= {"in": Fraction(8_128), "ft": Fraction(97_536)}


def ticks(number: int | str | Decimal | Fraction, unit: str) -> Ticks:
    """Return a length as whole ticks.

    Parameters
    ----------
    number
        How many of ``unit``, exact; a string may be a decimal or a plain fraction.
    unit
        ``mm``, ``cm``, ``m``, ``in`` or ``ft``.

    Raises
    ------
    LengthError
        If the unit is unknown or the length is finer than a tick.

    Examples
    --------
    >>> ticks("1200.15", "mm") == ticks("47.25", "in")
    True
    """
    if unit not in _UNIT_TICKS:
        raise LengthError(f"{unit!r} is no known unit; write mm, cm, m, in or ft")
    exact = Fraction(number) * _UNIT_TICKS[unit]
    if exact.denominator != 1:
        raise LengthError(f"{number} {unit} is finer than 1/320 mm; write 64ths of an inch or tenths of a mm")
    return Ticks(exact.numerator)


def inches(whole: int, numerator: int = 0, denominator: int = 1) -> Ticks:
    """Return a tape reading in inches as ticks.

    Examples
    --------
    >>> inches(47, 1, 4)
    384048
    """
    return ticks(whole + Fraction(numerator, denominator), "in")


def mm(number: int | str | Decimal | Fraction) -> Ticks:
    """Return a length given in millimetres as ticks.

    Examples
    --------
    >>> mm("0.1")
    32
    """
    return ticks(number, "mm")


def mm_number(length: Ticks) -> Decimal:
    """Return a length in millimetres as an exact decimal (a tick is .003125 mm).

    Examples
    --------
    >>> mm_number(inches(47, 1, 4))
    Decimal('1200.15')
    """
    whole, rest = divmod(length, TICKS_PER_MM)
    return (Decimal(length) / TICKS_PER_MM).normalize() if rest else Decimal(whole)


def mm_text(length: Ticks) -> str:
    """Return a length in millimetres as plain text.

    Examples
    --------
    >>> mm_text(Ticks(320 * 900))
    '900'
    """
    return f"{mm_number(length):f}"


def tape_text(length: Ticks) -> str:
    """Return a length as a tape reading in inches, without a unit mark.

    A length that is no 64th of an inch is shown at the nearest 64th behind ``~``.

    Examples
    --------
    >>> tape_text(inches(47, 10, 16)), tape_text(mm(900)), tape_text(inches(0, 3, 4))
    ('47 5/8', '~35 7/16', '3/4')
    """
    if length < 0:
        return f"-{tape_text(Ticks(-length))}"
    sixty_fourths, over = divmod(length, TICKS_PER_SIXTY_FOURTH)
    if 2 * over >= TICKS_PER_SIXTY_FOURTH:
        sixty_fourths += 1
    about = "~" if over else ""
    whole, part = divmod(sixty_fourths, 64)
    if not part:
        return f"{about}{whole}"
    fraction = Fraction(part, 64)
    shown = f"{fraction.numerator}/{fraction.denominator}"
    return f"{about}{whole} {shown}" if whole else f"{about}{shown}"


def length_text(length: Ticks, unit: Unit) -> str:
    """Return a length as this shop writes it: a tape reading, or millimetres.

    Examples
    --------
    >>> length_text(inches(3, 1, 8), Unit.INCH), length_text(mm("809.5"), Unit.MM)
    ('3 1/8', '809.5')
    """
    return tape_text(length) if unit is Unit.INCH else mm_text(length)
