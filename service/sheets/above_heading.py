"""Rows above the headings that hold sizes: openings that would be lost without a word."""

from __future__ import annotations

from service.sheets.cells import Table, Value, cell_text
from service.sheets.headings import Heading
from service.sheets.ledger import Ledger, Place
from service.sheets.size_pairs import SizePairCells
from service.sheets.verdicts import Asked, CellVerdict, Held, Wrong
from solver.notation import Refused, read_length

_MOST_ASKED = 20


def say_rows_above(table: Table, heading: Heading, ledger: Ledger) -> None:
    """Ask about each row above the headings that has sizes under width and height."""
    asked = 0
    sides = [[b.index for b in heading.columns if b.column.field == name] for name in ("widths", "heights")]
    pairs = [bound.index for bound in heading.columns if bound.column.field == "size"]
    for number, values in table.rows:
        if number >= heading.row or asked >= _MOST_ASKED:
            return
        pair = any(_at(values, index) is not None and _is_pair(_at(values, index)) for index in pairs)
        if not pair and not all(side and any(_is_size(_at(values, index)) for index in side) for side in sides):
            continue
        asked += 1
        message = (
            f"row {number} stands above the headings and holds sizes under width and height; move it below them if it "
            "is an opening, or write skip"
        )
        ledger.ask(Place(table.name, number), Asked("above the headings", message, "skip"), _read_skip)


def _at(values: list[Value], index: int) -> Value:
    return values[index] if index < len(values) else None


def _is_size(value: Value) -> bool:
    if isinstance(value, str):
        return value.strip()[:1].isdigit() and not isinstance(read_length(value, unit="in"), Refused)
    return isinstance(value, float) and not isinstance(value, bool)


def _is_pair(value: Value) -> bool:
    return isinstance(value, str) and isinstance(SizePairCells("in", width_first=True)(value), Held)


def _read_skip(value: Value) -> CellVerdict:
    word = cell_text(value).strip().casefold()
    return Held(word) if word in {"skip", "no"} else Wrong(f"{cell_text(value)}: write skip, or move the row")
