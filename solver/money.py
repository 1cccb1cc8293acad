"""Money as whole minor units of one currency."""

from __future__ import annotations

from decimal import Decimal, InvalidOperation
from typing import NewType

from solver.errors import RecordError

Cents = NewType("Cents", int)
"""Whole minor units of the job's currency; 100 to the unit."""


def cents(amount: Decimal | int | str) -> Cents:
    """Return an amount of money as whole cents.

    Parameters
    ----------
    amount
        Currency units, exact; ``"12.50"`` is twelve and a half.

    Raises
    ------
    RecordError
        If the amount is no number or finer than a cent.

    Examples
    --------
    >>> cents("12.50")
    1250
    """
    try:
        minor = Decimal(amount) * 100
        whole = int(minor)
    except (InvalidOperation, ValueError, OverflowError) as error:
        raise RecordError(f"{amount} is no amount of money; write a number such as 12.50") from error
    if minor != whole:
        raise RecordError(f"{amount} is finer than a cent; write at most two decimals")
    return Cents(whole)


def money_text(amount: Cents, currency: str = "") -> str:
    """Return an amount as text with two decimals and the currency, if one is given.

    Examples
    --------
    >>> money_text(Cents(123450), "USD")
    '1,234.50 USD'
    """
    sign = "-" if amount < 0 else ""
    text = f"{sign}{abs(amount) // 100:,}.{abs(amount) % 100:02d}"
    return f"{text} {currency}" if currency else text
