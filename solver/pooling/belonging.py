"""What an opening belongs to: its order, phase, building, floor or unit."""

from __future__ import annotations

from enum import Enum

from solver.openings import Opening


class Belonging(Enum):
    """By what openings are taken together; the value is the word of the openings sheet."""

    ORDER = "order"
    PHASE = "phase"
    BUILDING = "building"
    FLOOR = "floor"
    UNIT = "unit"

    def of(self, opening: Opening) -> str:
        """Return the order, phase, building, floor or unit of an opening; empty where the sheet names none."""
        return str(getattr(opening, self.value))
