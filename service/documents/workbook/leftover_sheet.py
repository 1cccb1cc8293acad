"""The sheet of leftovers: what goes back on the rack, in the shape of a job's own sheet of leftovers.

Copied into the next job's workbook it is stock on hand.
"""

from __future__ import annotations

from service.documents.amounts import exact_length
from service.documents.leftovers import kept_mesh, kept_offcuts
from service.documents.plan_index import PlanIndex
from service.documents.workbook.table import Book, Column, Look, Table


def leftovers(book: Book, index: PlanIndex) -> None:
    """Write one row for each kind of offcut and each mesh piece worth keeping."""
    columns = (
        Column("name", 34, Look.WRAPPED),
        Column("profile", 12),
        Column("colour", 12),
        Column("mesh", 18),
        Column("width", 14, Look.RIGHT),
        Column("length", 14, Look.RIGHT),
        Column("count", 8, Look.NUMBER),
        Column("note", 50, Look.WRAPPED),
    )
    table = Table(book, "leftovers", columns)
    job = index.problem.name
    for kept in kept_offcuts(index.plan):
        length = exact_length(kept.length, book.unit)
        numbers = ", ".join(str(number) for number in kept.sticks)
        name = " ".join(word for word in (kept.profile, kept.colour, length) if word)
        note = f"from stick {numbers} of {job}"
        table.row((name, kept.profile, kept.colour, "", "", length, len(kept.sticks), note))
    for whole in kept_mesh(index.plan):
        mesh, piece = whole.mesh, whole.piece
        width, length = exact_length(piece.width, book.unit), exact_length(piece.length, book.unit)
        where = "end of the roll" if piece.crosscut is None else f"side of crosscut {piece.crosscut}"
        note = f"{where}, roll {piece.roll} ({piece.stock}) of {job}"
        table.row((f"{mesh} {width} x {length}", "", "", mesh, width, length, 1, note))
