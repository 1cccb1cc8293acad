"""Unit slips: a number that makes sense in another unit, and the text that would say so."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from solver.lengths import TICKS_PER_SIXTY_FOURTH, Ticks, Unit, length_text, tape_text

_UNITS = {"in": 8_128, "mm": 320, "cm": 3_200}


@dataclass(frozen=True, slots=True)
class Slip:
    """A reading taken for the wrong unit: what it would be, and how to write it."""

    length: Ticks
    text: str
    words: str


# Read as the first, meant as the second; the last pair is a decimal mark one place off.
_PAIRS = (("in", "mm"), ("in", "cm"), ("mm", "in"), ("cm", "in"), ("mm", "cm"), ("cm", "mm"))


def slips(reading: Ticks, unit: Unit) -> Iterator[Slip]:
    """Yield what a reading would be if its number was meant in another unit (factors 25.4, 2.54, 10).

    Only numbers a person would write in the unit meant are taken: 64ths or
    hundredths of an inch, tenths of a millimetre or centimetre.

    Examples
    --------
    >>> from solver.lengths import inches
    >>> [slip.text for slip in slips(inches(762), Unit.INCH)]
    ['762 mm', '762 cm', '19354.8 cm']
    """
    for read, meant in _PAIRS:
        number = Fraction(reading, _UNITS[read])
        text = _number_text(number, meant)
        exact = number * _UNITS[meant]
        if text and exact.denominator == 1:
            yield Slip(Ticks(exact.numerator), f"{text} {meant}", f"{text} written in {read} and meant in {meant}")
    tenth, over = divmod(reading, 10)
    if unit is Unit.INCH and not over and tenth % TICKS_PER_SIXTY_FOURTH == 0:
        yield Slip(Ticks(tenth), f"{length_text(Ticks(tenth), unit)} in", "a decimal mark one place off")


def _number_text(number: Fraction, unit: str) -> str:
    """Return the number as it would stand in a cell, or nothing if nobody would write it."""
    if unit == "in" and (number * 64).denominator == 1 and number.denominator not in {1, 2, 5, 10}:
        return tape_text(Ticks(int(number * 8_128)))
    tenths = number * (100 if unit == "in" else 10)
    if tenths.denominator != 1:
        return ""
    return f"{float(number):.2f}".rstrip("0").rstrip(".")
