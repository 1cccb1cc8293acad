"""Width and height in one cell: 27 5/8 x 41 1/2, in the order the heading states."""

from __future__ import annotations

import re
from dataclasses import dataclass

from service.sheets.cells import Fault, Value, cell_text
from service.sheets.length_cells import LengthCells, Role, fault_verdict
from service.sheets.verdicts import Asked, CellVerdict, Held, Wrong
from solver.notation import Comma
from solver.notation.tidy import tidy

_WIDTH = r"(?:w(?:idth)?|b(?:reite)?|largeur|ancho|anchura)"
_HEIGHT = r"(?:h(?:eight|öhe|oehe|auteur)?|alto|altura)"
_ORDER = re.compile(rf"\b(?:({_WIDTH}) ?(?:x|by|\*|/) ?{_HEIGHT}|{_HEIGHT} ?(?:x|by|\*|/) ?{_WIDTH})\b")
_BETWEEN = re.compile(r" ?(?:x|by|\*|@) ?")


def stated_order(heading: str) -> bool | None:
    """Return whether a heading states width before height (True), height before width (False), or neither (None).

    Examples
    --------
    >>> stated_order("Size (W x H)"), stated_order("H×W, mm"), stated_order("Breite x Höhe"), stated_order("Size")
    (True, False, True, None)
    """
    found = _ORDER.search(tidy(heading))
    return found[1] is not None if found is not None else None


@dataclass(frozen=True, slots=True)
class SizePairCells:
    """Reads both sides from one cell; the verdict holds (width, height)."""

    unit: str
    width_first: bool
    comma: Comma = Comma.UNKNOWN

    def __call__(self, value: Value) -> CellVerdict:
        """Return the verdict on one cell."""
        if isinstance(value, Fault):
            return fault_verdict(value)
        shown = cell_text(value)
        sides = _BETWEEN.split(tidy(value)) if isinstance(value, str) else []
        if len(sides) != 2:
            order = "width x height" if self.width_first else "height x width"
            return Wrong(f"{shown} is no {order}; write both, such as 27 5/8 x 41 1/2")
        unit = self.unit
        if not unit and (named := re.search(r"(mm|cm|m|in|ft)\.?$", sides[1])):
            unit = named[1]
        side = LengthCells(unit, Role.OPENING, self.comma)
        verdicts = [side(each) for each in sides]
        for verdict in verdicts:
            if isinstance(verdict, Wrong):
                return verdict
        asked = [verdict for verdict in verdicts if isinstance(verdict, Asked)]
        if asked:
            texts = [
                verdict.proposal if isinstance(verdict, Asked) else text
                for verdict, text in zip(verdicts, sides, strict=True)
            ]
            note = "; ".join(filter(None, (each.note for each in asked)))
            return Asked(asked[0].kind, asked[0].message, " x ".join(texts), note)
        first, second = (verdict.value for verdict in verdicts if isinstance(verdict, Held))
        return Held((first, second) if self.width_first else (second, first))
