"""Cells to exact lengths: text, numbers and everything else that stands in a size column."""

from __future__ import annotations

import datetime
import re
from dataclasses import dataclass, replace
from decimal import Decimal
from enum import Enum

from service.sheets.cells import Fault, Missing, Shape, Shown, Value, cell_text
from service.sheets.dates import date_in_text, date_verdict
from service.sheets.verdicts import Asked, CellVerdict, Held, Wrong, from_notation
from solver.lengths import Ticks, inches, length_text, ticks
from solver.lengths import Unit as ShopUnit
from solver.notation import Comma, Doubt, read_length, read_number

_ERROR_TEXT = re.compile(r"#[^\W\d_][\w/]*[!?]?|Err:[0-9]+|#{2,}")


_NUMBER_AND_UNIT = re.compile(r"([0-9]+(?:\.[0-9]+)?) ?(?:mm|cm|m|in|ft)?")
_MOST_STEPS = 4


class Role(Enum):
    """What a length measures; it decides which lengths make sense."""

    OPENING = "opening"
    """A side of an opening: never only a fraction of an inch, never as long as a house."""
    STOCK = "stock"
    """A stick, a roll: over 0."""
    SMALL = "small"
    """A slot, a clearance, a rule: a fraction of an inch or nothing at all is fine."""


SHORTEST_SIDE = inches(5)
LONGEST_SIDE = inches(240)
"""Sides beyond these are surely a slip of the unit (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class LengthCells:
    """Reads the cells of one column of lengths.

    ``unit`` is that of bare numbers (mm, cm, m, in, ft), or empty if nobody said.
    """

    unit: str
    role: Role
    comma: Comma = Comma.UNKNOWN

    def __call__(self, value: Value) -> CellVerdict:
        """Return the verdict on one cell that is not blank."""
        verdict = self._read(value)
        if isinstance(verdict, Held):
            verdict = self._in_range(verdict, value)
        if isinstance(verdict, Asked) and verdict.kind != Doubt.DATE.value:
            return self._sound(verdict, value)
        return verdict

    def _sound(self, asked: Asked, value: Value) -> CellVerdict:
        """Return the question with a proposal that can stand in the cell; a wrong one is never offered.

        Only what became a date keeps the fraction that was typed, which shows what happened to the column.
        """
        proposal, last = asked.proposal, asked
        for _ in range(_MOST_STEPS):
            verdict = self._read(proposal)
            if isinstance(verdict, Held):
                verdict = self._in_range(verdict, proposal)
            if isinstance(verdict, Held):
                message = asked.message if last is asked else f"{asked.message}; but {last.message}"
                return replace(asked, message=message, proposal=proposal)
            if isinstance(verdict, Wrong) or last.kind == Doubt.TAPE.value:
                # A number rounded to the tape in the wrong unit would stay rounded in the right one.
                break
            last, proposal = verdict, verdict.proposal
        shown = cell_text(value)
        if self.role is Role.OPENING and (instead := self._elsewhere(shown)) is not None:
            message = f"{shown} cannot be a side of an opening as it stands; write {instead} if that is meant"
            return Asked(Doubt.UNIT.value, message, instead)
        return Wrong(f"{shown} cannot be understood as it stands; measure again, or write the reading, {self._such_as}")

    def _elsewhere(self, shown: str) -> str | None:
        """Return a number with the unit in which it would make a side, or None."""
        plain = shown.strip()
        # Nobody writes thousands as 0,702: that comma marks decimals.
        number = _NUMBER_AND_UNIT.fullmatch(plain.replace(",", ".") if plain.startswith("0,") else plain)
        if number is None:
            return None
        for unit in ("mm", "m", "cm", "in"):
            proposal = f"{number[1]} {unit}"
            verdict = self._read(proposal)
            if isinstance(verdict, Held) and self._plausible(Decimal(verdict.value)):
                return proposal
        return None

    def _read(self, value: Value) -> CellVerdict:
        match value:
            case str():
                return self._text(value)
            case bool():
                return Wrong(f"{cell_text(value)} is no length; write the reading, {self._such_as}")
            case float() | int():
                return self._number(value)
            case datetime.datetime():
                return Wrong(f"{cell_text(value)} is a date with a time; write the reading, {self._such_as}")
            case datetime.date():
                return date_verdict(value, cell_text(value))
            case datetime.time() | datetime.timedelta():
                return Wrong(
                    f"{cell_text(value)} is a time; format the column as text and write it again, {self._such_as}"
                )
            case Shown():
                return self._shown(value)
            case Fault():
                return fault_verdict(value)
            case None:
                return Wrong(f"empty; write the reading, {self._such_as}")

    def _text(self, text: str) -> CellVerdict:
        plain = text.strip()
        if _ERROR_TEXT.fullmatch(plain):
            return fault_verdict(Fault(plain))
        if (date := date_in_text(plain)) is not None:
            return date_verdict(date, plain)
        return from_notation(read_length(text, unit=self.unit, comma=self.comma, alone=self.role is Role.SMALL))

    def _number(self, number: float) -> CellVerdict:
        if not self.unit:
            return Wrong(f"{cell_text(number)}: nobody says in which unit; write the unit in the heading, such as (in)")
        return from_notation(read_number(number, unit=self.unit))

    def _shown(self, shown: Shown) -> CellVerdict:
        if shown.shape is Shape.UNIT and shown.unit:
            return from_notation(read_number(shown.number, unit=shown.unit))
        if shown.shape is Shape.UNIT:
            return self._number(shown.number)
        if shown.shape is Shape.OTHER:
            number = f"{shown.number:.15g}"
            message = f"{cell_text(shown)}: the number format writes {shown.unit} behind it, which is no unit of length"
            if not self.unit:
                return Wrong(f"{message}; write the reading with its unit, such as {number} in")
            proposal = f"{number} {self.unit}"
            return Asked("number format", f"{message}; write {proposal} if that is meant", proposal)
        kind = "a percentage" if shown.shape is Shape.PERCENT else "an amount of money"
        return Wrong(f"the cell is formatted as {kind}; format the column as text and write it again, {self._such_as}")

    def _in_range(self, held: Held, value: Value) -> CellVerdict:
        length: Ticks = held.value
        if self.role is Role.SMALL:
            return held
        if length <= 0:
            return Wrong(f"{cell_text(value)} must be over 0; write the reading, {self._such_as}")
        if self.role is Role.STOCK or SHORTEST_SIDE <= length <= LONGEST_SIDE:
            return held
        return self._out_of_range(length, cell_text(value))

    def _out_of_range(self, length: Ticks, shown: str) -> CellVerdict:
        """Ask about a side no window has; the number may have been meant in another unit."""
        size = (
            length_text(length, ShopUnit.MM) + " mm"
            if self.unit in {"mm", "cm", "m"}
            else length_text(length, ShopUnit.INCH) + " in"
        )
        word = "long" if length > LONGEST_SIDE else "short"
        # A tape fraction was meant in inches; only a plain number may have been meant in another unit.
        proposal = self._meant_instead(length) if "/" not in shown and "'" not in shown else None
        if proposal is None:
            return Wrong(f"{shown} is {size}, too {word} for a side of an opening; measure again or write its unit")
        message = f"{shown} is {size}, too {word} for a side of an opening; write {proposal} if that is meant"
        return Asked(Doubt.UNIT.value, message, proposal)

    def _meant_instead(self, length: Ticks) -> str | None:
        if self.unit not in {"in", "mm", "cm", "m", "ft"}:
            return None
        number = Decimal(length) / ticks(1, self.unit)
        thousandth = Decimal(length) / 1000
        if thousandth == thousandth.to_integral() and self._plausible(thousandth) and self.unit == "in":
            return f"{(number / 1000).normalize():f}"
        order = {
            "in": ("mm", "m", "ft", "cm"),
            "mm": ("in", "cm", "m"),
            "cm": ("mm", "in", "m"),
            "m": ("mm", "cm", "in"),
            "ft": ("in", "mm", "cm"),
        }
        whole_number = number == number.to_integral()
        for unit in order[self.unit]:
            if unit == "in" and self.unit == "mm" and whole_number:
                continue
            if self._plausible(number * ticks(1, unit)):
                return f"{number.normalize():f} {unit}"
        return f"{number.normalize():f} in" if self.unit == "mm" and self._plausible(number * ticks(1, "in")) else None

    @staticmethod
    def _plausible(length: Decimal) -> bool:
        return inches(8) <= length <= inches(120)

    @property
    def _such_as(self) -> str:
        written = {"in": "27 5/8", "ft": "2' 3 5/8\"", "mm": "702", "cm": "70.2", "m": "0.702"}
        return f"such as {written.get(self.unit, '27 5/8 in')}"


def fault_verdict(fault: Fault) -> Wrong:
    """Return what to say of a cell without a value."""
    if fault.missing is Missing.FORMULA:
        return Wrong("the formula was never calculated; open the file once in your spreadsheet program and save it")
    if fault.missing is Missing.DATE:
        return Wrong(f"{fault.text} is formatted as a date; format the column as text and write the reading again")
    return Wrong(f"the cell shows {fault.text}; mend its formula or write the value itself")
