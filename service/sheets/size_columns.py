"""Columns that hold width and height in one cell: which comes first is stated, or asked."""

from __future__ import annotations

from dataclasses import replace

from service.sheets.cells import Table, Value, cell_text
from service.sheets.headings import Heading
from service.sheets.ledger import Ledger, Place
from service.sheets.size_pairs import stated_order
from service.sheets.verdicts import Asked, CellVerdict, Held


def with_size_order(table: Table, heading: Heading, ledger: Ledger) -> Heading:
    """Return the heading with the order of sides settled; beside columns of width and height, a size is left alone."""
    fields = {bound.column.field for bound in heading.columns}
    size = next((bound for bound in heading.columns if bound.column.field == "size"), None)
    if size is None:
        return heading
    if {"widths", "heights"} <= fields:
        columns = tuple(bound for bound in heading.columns if bound is not size)
        return replace(heading, columns=columns, unknown=(*heading.unknown, (size.index, size.heading)))
    proposal = f"{size.heading} (width x height)"
    message = f"which side comes first in {size.heading}? Write it in the heading, such as {proposal}"

    def read(value: Value) -> CellVerdict:
        order = stated_order(cell_text(value))
        return Held(order) if order is not None else Asked("order of sides", message, proposal)

    held = ledger.settle(Place(table.name, heading.row, size.index), size.heading, read)
    height_first = held is not None and held.value is False
    columns = tuple(replace(bound, height_first=height_first) if bound is size else bound for bound in heading.columns)
    return replace(heading, columns=columns)
