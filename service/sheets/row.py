"""One row of a table and what its cells hold."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from service.sheets.cells import Value, address


@dataclass(slots=True)
class Row:
    """One row: its number in the file and what its cells hold, by field.

    A repeated field holds a list. ``whole`` is False where a cell could not be
    used. ``columns`` are the columns the values came from, ``cells`` those of
    each value of a repeated field, ``headed`` those that are headed at all.
    ``raw`` are the cells as they stood.
    """

    number: int
    values: dict[str, Any] = field(default_factory=dict)
    columns: dict[str, int] = field(default_factory=dict)
    cells: dict[str, list[int]] = field(default_factory=dict)
    notes: list[str] = field(default_factory=list)
    whole: bool = True
    headed: Mapping[str, int] = field(default_factory=dict)
    raw: list[Value] = field(default_factory=list)

    def add(self, name: str, value: Any, index: int) -> None:
        """Take one more value of a repeated field."""
        self.values.setdefault(name, []).append(value)
        self.cells.setdefault(name, []).append(index)
        self.columns.setdefault(name, index)

    def refuse(self, name: str, index: int) -> None:
        """Take note of a cell that could not be used."""
        self.whole = False
        for each in ("widths", "heights") if name == "size" else (name,):
            self.columns.setdefault(each, index)

    def column(self, name: str) -> int:
        """Return the column a field came from, or should have come from; -1 if it has none."""
        return self.columns.get(name, self.headed.get(name, -1))

    def cell(self, name: str) -> str:
        """Return the address of the cell a field came from, or of the row."""
        return address(self.number, self.columns[name]) if name in self.columns else str(self.number)


def lone_text(values: list[Value]) -> str:
    """Return the text of a row that holds nothing else, or an empty text."""
    filled = [value for value in values if value is not None]
    return filled[0] if len(filled) == 1 and isinstance(filled[0], str) else ""
