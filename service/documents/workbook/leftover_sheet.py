"""The sheet of leftovers: what goes back on the rack."""

from __future__ import annotations

from service.documents.leftovers import kept_mesh, kept_offcuts
from service.documents.plan_index import PlanIndex
from service.documents.workbook.table import Book, Column, Look, Table, length_columns, length_values


def leftovers(book: Book, index: PlanIndex) -> None:
    """Write one row for each kind of offcut and each mesh piece worth keeping; it can be next job's stock."""
    columns = (
        Column("Kind", 8),
        Column("Profile or mesh", 22),
        Column("Colour", 12),
        Column("Count", 7, Look.NUMBER),
        *length_columns(book, "Length"),
        *length_columns(book, "Width"),
        Column("From", 50, Look.WRAPPED),
    )
    table = Table(book, "leftovers", columns)
    for kept in kept_offcuts(index.plan):
        numbers = ", ".join(str(number) for number in kept.sticks)
        length = length_values(book, kept.length)
        source = f"stick {numbers}"
        table.row(("stick", kept.profile, kept.colour, len(kept.sticks), *length, *length_values(book, None), source))
    for mesh, piece in kept_mesh(index.plan):
        where = "end of the roll" if piece.crosscut is None else f"side of crosscut {piece.crosscut}"
        sizes = (*length_values(book, piece.length), *length_values(book, piece.width))
        table.row(("mesh", mesh, "", 1, *sizes, f"roll {piece.roll} ({piece.stock}), {where}"))
