"""Thread diameters: far finer than a tape shows, and no size follows from them."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from service.sheets.cells import Fault, Value, cell_text
from service.sheets.length_cells import fault_verdict
from service.sheets.verdicts import CellVerdict, Held, Wrong
from solver.notation import Comma
from solver.notation.numbers import plain_number

_INCHES = {"in": Fraction(1), "mm": Fraction(10, 254)}


@dataclass(frozen=True, slots=True)
class ThreadCells:
    """Reads thread diameters as exact fractions of an inch: they only give the open area of a mesh."""

    unit: str
    comma: Comma = Comma.UNKNOWN

    def __call__(self, value: Value) -> CellVerdict:
        """Return the verdict on one diameter."""
        if isinstance(value, Fault):
            return fault_verdict(value)
        unit = self.unit
        text = cell_text(value).strip()
        for name in ("mm", "in", '"'):
            if text.lower().endswith(name):
                text, unit = text[: -len(name)].strip(), "in" if name == '"' else name
                break
        number = plain_number(text, self.comma)
        wrong = Wrong(f"{cell_text(value)} is no thread of a mesh; write for example 0.011 in or 0.28 mm")
        if unit not in _INCHES or number is None or len(number.values) != 1 or isinstance(value, bool):
            return wrong
        exact = Fraction(number.values[0]) * _INCHES[unit]
        return Held(exact) if 0 < exact < Fraction(1, 10) else wrong
