"""Cells to words, counts, money, shares and choices."""

from __future__ import annotations

import datetime
import difflib
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from enum import Enum
from fractions import Fraction
from typing import Any

from service.sheets.cells import Fault, Shape, Shown, Value, cell_text
from service.sheets.length_cells import fault_verdict
from service.sheets.verdicts import Asked, CellVerdict, Held, Wrong
from solver.errors import RecordError
from solver.money import cents
from solver.notation import Comma
from solver.notation.numbers import plain_number

MOST = 1_000_000
_MOST_LOOKED_UP = 300
_COUNT = re.compile(r"([0-9]{1,9})(?:\.0+)?(?: ?(?:x|pcs?\.?|pieces|off|no\.?|ea\.?|each|stk\.?))?")
_MONEY = re.compile(r"(?:[A-Za-z]{3} |[$€£¥] ?|[A-Z]{2,3}[$])?([0-9][0-9., ']*)(?: ?(?:[A-Za-z]{3}|[$€£¥]))?")
_SHARE = re.compile(r"([0-9.,]+) ?(%|per cent|percent|‰|per mille|permille)?")
_YES = {"yes", "y", "true", "x", "1", "ja", "j", "✓", "✔", "on"}
_NO = {"no", "n", "false", "0", "-", "nein", "off"}


def read_text(value: Value) -> CellVerdict:
    """Read names, labels and notes; a whole number loses its decimal point, nothing else changes."""
    match value:
        case Shown(number=number, shape=Shape.OTHER):
            return Held(cell_text(number))
        case str():
            text = " ".join(value.split()) if not value.isascii() or "  " in value or "\n" in value else value.strip()
            return Held(_printable(text))
        case Fault():
            return fault_verdict(value)
        case datetime.date() | datetime.time() | datetime.timedelta():
            return Held(cell_text(value))
        case _:
            return Held(cell_text(value))


def read_count(value: Value) -> CellVerdict:
    """Read whole numbers: quantities, numbers on hand."""
    match value:
        case Shown(number=number, shape=Shape.OTHER, unit="pcs" | "pc" | "stk" | "st" | "ea"):
            return read_count(number)
        case bool():
            return Wrong(f"{cell_text(value)} is no number; write a whole number, such as 2")
        case float() | int() if 0 <= value <= MOST and value == int(value):
            return Held(int(value))
        case str() if found := _COUNT.fullmatch(value.strip().lower()):
            return Held(int(found[1])) if int(found[1]) <= MOST else Wrong(f"{value} is too many; write at most {MOST}")
        case Fault():
            return fault_verdict(value)
        case float() | int() if value < 0:
            return Wrong(f"{cell_text(value)}: a number cannot be negative; write a whole number such as 2")
        case _:
            return Wrong(f"{cell_text(value)} is no whole number; write one such as 2")


def read_year(value: Value) -> CellVerdict:
    """Read the year a building was built in."""
    if isinstance(value, datetime.date):
        return Held(value.year)
    verdict = read_count(value)
    if isinstance(verdict, Held) and not 1000 <= verdict.value <= 2200:
        return Wrong(f"{cell_text(value)} is no year; write four digits, such as 1974")
    return verdict


@dataclass(frozen=True, slots=True)
class MoneyCells:
    """Reads amounts of money."""

    comma: Comma = Comma.UNKNOWN

    def __call__(self, value: Value) -> CellVerdict:
        """Return the verdict on one amount."""
        match value:
            case bool():
                return Wrong(f"{cell_text(value)} is no price; write an amount such as 12.50")
            case float() | int():
                return _amount(Decimal(f"{value:.15g}"))
            case Shown(number=number, shape=Shape.CURRENCY):
                return _amount(Decimal(f"{number:.15g}"))
            case str() if found := _MONEY.fullmatch(value.strip()):
                return self._written(value.strip(), found[1].strip())
            case Fault():
                return fault_verdict(value)
            case _:
                return Wrong(f"{cell_text(value)} is no price; write an amount such as 12.50")

    def _written(self, shown: str, amount: str) -> CellVerdict:
        number = plain_number(amount, self.comma)
        if number is None:
            return Wrong(f"{shown} is no price; write an amount such as 12.50")
        decimals_only = len(number.values) == 1
        if not number.sure and not decimals_only:
            message = f"{shown}: the comma may mark decimals or thousands; write {' or '.join(number.values)}"
            return Asked("comma", message, number.values[-1])
        return _amount(Decimal(number.values[0]))


@dataclass(frozen=True, slots=True)
class ShareCells:
    """Reads shares in whole per mille: a percentage, or a number in per mille."""

    comma: Comma = Comma.UNKNOWN

    def __call__(self, value: Value) -> CellVerdict:
        """Return the verdict on one share."""
        match value:
            case bool():
                pass
            case Shown(number=number, shape=Shape.PERCENT):
                return _per_mille(Fraction(Decimal(f"{number:.12g}")) * 1000, cell_text(value))
            case float() | int():
                return _per_mille(Fraction(Decimal(f"{value:.12g}")), cell_text(value))
            case str() if found := _SHARE.fullmatch(value.strip().lower()):
                written = plain_number(found[1], self.comma)
                if written is not None and len(written.values) == 1:
                    factor = 10 if found[2] in {"%", "per cent", "percent"} else 1
                    return _per_mille(Fraction(written.values[0]) * factor, value.strip())
            case Fault():
                return fault_verdict(value)
        return Wrong(f"{cell_text(value)} is no share; write per cent with its sign, such as 5 %, or per mille")


def read_yes_no(value: Value) -> CellVerdict:
    """Read a yes or no."""
    if isinstance(value, bool):
        return Held(value)
    if isinstance(value, Fault):
        return fault_verdict(value)
    text = cell_text(value).lower()
    if text in _YES or text in _NO:
        return Held(text in _YES)
    return Wrong(f"{cell_text(value)}: write yes or no")


@dataclass(frozen=True, slots=True)
class ChoiceCells:
    """Reads one of a few words.

    ``words`` maps every way to write a choice to it, ``offered`` are the words to offer.
    """

    words: Mapping[str, Any]
    offered: tuple[str, ...]
    looked_up: dict[str, str | None] = field(default_factory=dict, compare=False, repr=False)
    """Near misses found so far; looking for them is slow, so it ends after many different words."""

    def fresh(self) -> ChoiceCells:
        """Return the same reader with nothing looked up yet, for one more column."""
        return ChoiceCells(self.words, self.offered)

    @classmethod
    def of(cls, choices: type[Enum], also: Mapping[str, Enum] | None = None) -> ChoiceCells:
        """Return a reader for an enumeration, with further words for its members."""
        words: dict[str, Any] = {plain_words(str(member.value)): member for member in choices}
        words |= {plain_words(word): member for word, member in (also or {}).items()}
        return cls(words, tuple(str(member.value) for member in choices))

    def __call__(self, value: Value) -> CellVerdict:
        """Return the verdict on one choice; a near miss is proposed, never taken."""
        if isinstance(value, Fault):
            return fault_verdict(value)
        shown = cell_text(value)
        plain = plain_words(shown)
        if plain in self.words:
            return Held(self.words[plain])
        near = self._near(plain)
        if near is not None:
            choice = self.words[near]
            proposal = str(choice.value) if isinstance(choice, Enum) else near
            return Asked("word", f"{shown} is not known; write {proposal} if that is meant", proposal)
        return Wrong(f"{shown[:60]} is not known; write one of: {', '.join(self.offered)}")

    def _near(self, plain: str) -> str | None:
        if plain not in self.looked_up:
            if len(self.looked_up) >= _MOST_LOOKED_UP or len(plain) > 40:
                return None
            near = difflib.get_close_matches(plain, list(self.words), n=1, cutoff=0.75)
            self.looked_up[plain] = near[0] if near else None
        return self.looked_up[plain]


def plain_words(text: str) -> str:
    """Return words to compare: small letters, single spaces, no dashes, dots or underscores.

    Examples
    --------
    >>> plain_words("Slot-Width_(mm).")
    'slot width mm'
    """
    return " ".join(re.sub(r"[^\w%#\"'″′]+|_", " ", text.lower()).split())


def _amount(amount: Decimal) -> CellVerdict:
    if amount < 0:
        return Wrong(f"{amount:f}: a price cannot be negative; write an amount such as 12.50")
    if amount > 10**9:
        return Wrong(f"{amount:f} is too much for a price; write an amount such as 12.50")
    try:
        return Held(cents(amount))
    except RecordError as error:
        return Wrong(str(error))


def _per_mille(share: Fraction, shown: str) -> CellVerdict:
    if share.denominator != 1:
        return Wrong(f"{shown} is finer than one per mille; write tenths of a per cent, such as 2.5 %")
    if not 0 <= share <= 10_000:
        return Wrong(f"{shown} is no sensible share; write per cent, such as 5 %")
    return Held(share.numerator)


def _printable(text: str) -> str:
    return text if text.isprintable() else "".join(letter for letter in text if letter.isprintable())
