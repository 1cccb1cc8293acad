"""Names that stand once for several rows: merged over them, or left blank below the first."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, field
from itertools import pairwise

from service.sheets.cells import Table, Value, cell_text
from service.sheets.headings import Bound, Heading
from service.sheets.ledger import Ledger, Place
from service.sheets.verdicts import Asked, CellVerdict, Held, Wrong

_MOST_FILLED = 2_000_000
"""Rows that all merged names of a sheet together may cover."""
_FILLED_DOWN = {
    "building",
    "facade",
    "floor",
    "unit",
    "room",
    "order",
    "phase",
    "window_type",
    "colour",
    "mesh",
    "profile",
}
"""Columns whose merged cells count for every row they cover; sizes are never filled down."""
_GROUPS = ("building", "floor", "unit", "order", "phase")
"""Columns that group rows."""
_WITHIN = {"floor": ("building",), "unit": ("building", "floor"), "phase": ("order",)}
"""What each group lies within."""
_PLACES = ("building", "floor", "unit")
"""Groups in which no row stands outside; an order or a phase may well be missing."""


def fill_merged_down(table: Table, heading: Heading) -> None:
    """Give merged names to every row they cover."""
    columns = {bound.index for bound in heading.columns if bound.column.field in _FILLED_DOWN}
    wanted = [m for m in table.merges if m.first_column in columns and m.last_row > max(m.first_row, heading.row)]
    if not wanted:
        return
    by_number = dict(table.rows)
    left = _MOST_FILLED
    for merge in wanted:
        top = by_number.get(merge.first_row, [])
        value = top[merge.first_column] if merge.first_column < len(top) else None
        if value is None or merge.first_row <= heading.row:
            continue
        left -= merge.last_row - merge.first_row
        if left < 0:
            break
        for number in range(merge.first_row + 1, merge.last_row + 1):
            values = by_number.get(number)
            if values is not None:
                values.extend([None] * (merge.first_column + 1 - len(values)))
                values[merge.first_column] = value


@dataclass(slots=True)
class FromAbove:
    """Names that a row takes over from the rows above it, by column."""

    names: dict[int, Value] = field(default_factory=dict)

    def into(self, values: list[Value]) -> list[Value]:
        """Return the row's values with those names."""
        full = [*values, *[None] * (max(self.names) + 1 - len(values))]
        for index, name in self.names.items():
            full[index] = name
        return full


def group_names(table: Table, heading: Heading, ledger: Ledger) -> dict[int, FromAbove]:
    """Return which rows take over the name of their group from above, by row number.

    A column of places in which every name stands once above blank cells is a
    grouped one, and that is said. Where names are repeated too, or where the column
    is one of orders or phases, it is asked once for the whole column.
    """
    sized = [bound.index for bound in heading.columns if bound.column.field in {"widths", "heights", "size"}]
    groups = [bound for bound in heading.columns if bound.column.field in _GROUPS]
    taken: dict[int, FromAbove] = {}
    if not sized or not groups:
        return taken
    rows = [(number, values, _holds(values, sized)) for number, values in table.rows if number > heading.row]
    answered = ledger.answered_rows(table.name)
    for bound in groups:
        index = bound.index
        column = [(number, _at(values, index), entry) for number, values, entry in rows]
        if all(value is not None for _, value, entry in column if entry):
            continue
        wider = [each.index for each in groups if each.column.field in _WITHIN.get(bound.column.field, ())]
        ends = {
            number
            for (_, above, _), (number, values, _) in pairwise(rows)
            if any(_at(values, each) not in {None, _at(above, each)} for each in wider)
        }
        blank = {
            number: name
            for number, name in _below_names(column, ends).items()
            if number not in answered or ledger.answer(Place(table.name, number, index)) is None
        }
        if blank and _wanted(table, heading, bound, column, blank, ledger):
            for number, name in blank.items():
                taken.setdefault(number, FromAbove()).names[bound.index] = name
    return taken


def _at(values: list[Value], index: int) -> Value:
    return values[index] if index < len(values) else None


def _holds(values: list[Value], columns: list[int]) -> bool:
    filled = len(values)
    return any(index < filled and values[index] is not None for index in columns)


def _below_names(column: list[tuple[int, Value, bool]], ends: Collection[int]) -> dict[int, Value]:
    """Return the blank cells of rows with sizes below a name.

    A row without sizes, such as a title, ends a group, and so does a row in ``ends``, where a wider group begins.
    """
    blank: dict[int, Value] = {}
    name: Value = None
    for number, value, entry in column:
        if not entry or (value is None and number in ends):
            name = None
        elif value is not None:
            name = value
        elif name is not None:
            blank[number] = name
    return blank


def _wanted(
    table: Table,
    heading: Heading,
    bound: Bound,
    column: list[tuple[int, Value, bool]],
    blank: dict[int, Value],
    ledger: Ledger,
) -> bool:
    names = [value for _, value, entry in column if entry and value is not None]
    repeated = any(first == second for first, second in pairwise(v for _, v, e in column if e) if first is not None)
    first, name = next(iter(blank.items()))
    rows = f"{len(blank)} rows" if len(blank) > 1 else "1 row"
    begun = f"{bound.heading} is blank in {rows} below a name, first in row {first} below {cell_text(name)}"
    if bound.column.field in _PLACES and not repeated and len(names) > 1 and column[0][1] is not None:
        ledger.notice(Place(table.name, heading.row, bound.index), f"{begun}; the name above is taken over")
        return True
    message = f"{begun}; write above if the name above is meant, or none if there is none"
    asked = Asked("blank below a name", message, "above")
    held = ledger.ask(Place(table.name, heading.row, bound.index), asked, _read_above, bound.heading)
    return held is not None and bool(held.value)


ABOVE_OR_NONE = {"above": True, "yes": True, "none": False, "no": False, "empty": False}
"""Answers to what is meant by blank cells below a name."""


def _read_above(value: Value) -> CellVerdict:
    word = cell_text(value).strip().casefold()
    if word in ABOVE_OR_NONE:
        return Held(ABOVE_OR_NONE[word])
    return Wrong(f"{cell_text(value)}: write above or none")
