"""Thread diameters: far finer than a tape shows, and no size follows from them."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from service.sheets.cells import Value, cell_text
from service.sheets.length_cells import LengthCells, Role
from service.sheets.verdicts import CellVerdict, Held, Wrong
from solver.lengths import Ticks, ticks
from solver.notation import Comma
from solver.notation.numbers import plain_number


@dataclass(frozen=True, slots=True)
class ThreadCells:
    """Reads thread diameters, to the nearest tick: they only give the open area of a mesh."""

    unit: str
    comma: Comma = Comma.UNKNOWN

    def __call__(self, value: Value) -> CellVerdict:
        """Return the verdict on one diameter."""
        unit = self.unit
        text = cell_text(value).strip()
        for name in ("mm", "in", '"'):
            if text.lower().endswith(name):
                text, unit = text[: -len(name)].strip(), "in" if name == '"' else name
                break
        number = plain_number(text, self.comma)
        if unit not in {"in", "mm"} or number is None or len(number.values) != 1 or isinstance(value, bool):
            return LengthCells(self.unit, Role.SMALL, self.comma)(value)
        exact = Fraction(number.values[0]) * ticks(1, unit)
        if not 0 < exact < ticks("2.5", "mm"):
            return Wrong(f"{cell_text(value)} is no thread of a mesh; write for example 0.011 in or 0.28 mm")
        return Held(Ticks(max(1, round(exact))))
