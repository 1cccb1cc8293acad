"""Lengths, counts and purchase amounts as the office reads them."""

from __future__ import annotations

from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal

from solver.lengths import TICKS_PER_INCH, TICKS_PER_MM, TICKS_PER_SIXTY_FOURTH, Ticks, Unit, length_text
from solver.plan import Need, PurchaseLine

_TICKS_PER_FOOT = 12 * TICKS_PER_INCH
_TICKS_PER_M = 1_000 * TICKS_PER_MM
_TICKS_PER_TENTH = TICKS_PER_MM // 10
_SHOWN_IN_FEET = 20 * _TICKS_PER_FOOT
_SHOWN_IN_METRES = 10 * _TICKS_PER_M


def unit_length(length: Ticks, unit: Unit) -> str:
    """Return a length as this shop writes it, with its unit.

    Examples
    --------
    >>> from solver.lengths import inches, mm
    >>> unit_length(inches(31, 1, 8), Unit.INCH), unit_length(mm(900), Unit.MM)
    ('31 1/8 in', '900 mm')
    """
    return f"{length_text(length, unit)} {unit.value}"


def shop_text(length: Ticks, unit: Unit) -> str:
    """Return a length as it is measured off: to 64ths of an inch or tenths of a millimetre, ``~`` where rounded.

    Examples
    --------
    >>> from solver.lengths import inches, mm
    >>> shop_text(mm("2812.24375"), Unit.MM), shop_text(mm("808.9"), Unit.MM), shop_text(inches(31, 1, 8), Unit.INCH)
    ('~2812.2', '808.9', '31 1/8')
    """
    if unit is Unit.INCH or length % _TICKS_PER_TENTH == 0:
        return length_text(length, unit)
    nearest = (2 * length + _TICKS_PER_TENTH) // (2 * _TICKS_PER_TENTH) * _TICKS_PER_TENTH
    return f"~{length_text(Ticks(nearest), unit)}"


def shop_length(length: Ticks, unit: Unit) -> str:
    """Return a length as it is measured off, with its unit.

    Examples
    --------
    >>> from solver.lengths import inches
    >>> shop_length(inches(31, 1, 8), Unit.MM)
    '~790.6 mm'
    """
    return f"{shop_text(length, unit)} {unit.value}"


def exact_length(length: Ticks, unit: Unit) -> str:
    """Return a length exactly, with its unit: millimetres also in an inch shop where it is no 64th of an inch.

    Examples
    --------
    >>> from solver.lengths import mm
    >>> exact_length(mm("25.4"), Unit.INCH), exact_length(mm(900), Unit.INCH)
    ('1 in', '900 mm')
    """
    return unit_length(length, unit if length % TICKS_PER_SIXTY_FOURTH == 0 else Unit.MM)


def both_units(length: Ticks, unit: Unit) -> str:
    """Return a length in the shop's unit with the other one behind it.

    Examples
    --------
    >>> from solver.lengths import inches
    >>> both_units(inches(31, 1, 8), Unit.INCH)
    '31 1/8 in = ~790.6 mm'
    """
    other = Unit.MM if unit is Unit.INCH else Unit.INCH
    return f"{shop_length(length, unit)} = {shop_length(length, other)}"


def long_text(length: Ticks, unit: Unit, *, up: bool = True) -> str:
    """Return a long length in feet or metres, to a tenth and a hundredth; short ones as ``unit_length``.

    Rounded up, as for what is needed, or down (``up`` False), as for what is left.

    Examples
    --------
    >>> from solver.lengths import inches
    >>> long_text(inches(18_616, 1, 2), Unit.INCH), long_text(inches(1_201), Unit.INCH, up=False)
    ('1,551.4 ft', '100 ft')
    """
    shown_long = _SHOWN_IN_FEET if unit is Unit.INCH else _SHOWN_IN_METRES
    if abs(length) < shown_long:
        return unit_length(length, unit)
    per, step, name = (
        (_TICKS_PER_FOOT, Decimal("0.1"), "ft") if unit is Unit.INCH else (_TICKS_PER_M, Decimal("0.01"), "m")
    )
    rounded = (Decimal(length) / per).quantize(step, rounding=ROUND_CEILING if up else ROUND_FLOOR)
    text = f"{rounded:,f}".rstrip("0").rstrip(".")
    return f"{text} {name}"


def amount_text(amount: int, unit: Unit, *, by_length: bool, up: bool = True) -> str:
    """Return a count, or a length where the thing is cut to length: spline is no matter of sixteenths.

    A length is given to the inch or centimetre, long ones in feet or metres,
    rounded up, or down (``up`` False) for what is there or left.

    Examples
    --------
    >>> from solver.lengths import inches
    >>> amount_text(inches(144, 49, 64), Unit.INCH, by_length=True), amount_text(480, Unit.INCH, by_length=False)
    ('145 in', '480')
    """
    if not by_length:
        return f"{amount:,}"
    step = TICKS_PER_INCH if unit is Unit.INCH else 10 * TICKS_PER_MM
    whole = -(-amount // step) if up else amount // step
    return long_text(Ticks(whole * step), unit, up=up)


def loose_length(line: PurchaseLine) -> bool:
    """Return whether a thing is bought by bare length, because no pack of it is listed."""
    return line.by_length and line.size == 1


def size_text(line: PurchaseLine, unit: Unit) -> str:
    """Return how much one bought unit of a purchase line holds; empty when it is a single piece or loose length."""
    if loose_length(line):
        return ""
    if line.by_length:
        return long_text(Ticks(line.size), unit)
    return "" if line.size == 1 else f"{line.size:,} pieces"


def buy_text(line: PurchaseLine, unit: Unit) -> str:
    """Return what to buy on a purchase line, such as ``5 x 100 pieces``."""
    if loose_length(line):
        return long_text(Ticks(line.buy), unit)
    size = size_text(line, unit)
    return f"{line.buy:,} x {size}" if size else f"{line.buy:,}"


def purchase_text(line: PurchaseLine, unit: Unit) -> str:
    """Return what to buy and of what, such as ``6 x 8 ft white`` or ``1 x 25 pieces of 8 ft white``."""
    buy, stock = buy_text(line, unit), line.stock or line.what
    return f"{buy} x {stock}" if buy == f"{line.buy:,}" else f"{buy} of {stock}"


def need_text(need: Need, unit: Unit) -> str:
    """Return what a screen needs of one hardware and where it goes, such as ``2 tension springs, top side``."""
    named = need_name(need, unit)
    return f"{named}, {need.place}" if need.place else named


def need_name(need: Need, unit: Unit) -> str:
    """Return what a screen needs of one hardware, such as ``4 corners 5/16``."""
    amount = amount_text(need.amount, unit, by_length=need.hardware.by_length)
    word = need.hardware.value
    if need.amount > 1 and not need.hardware.by_length:
        word += "es" if word.endswith("ch") else "s"
    return f"{amount} {word} {need.fits}".strip()
