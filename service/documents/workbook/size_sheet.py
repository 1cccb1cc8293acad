"""The sheet of sizes: what each opening became, and how."""

from __future__ import annotations

from service.documents.amounts import need_text
from service.documents.frame_text import place_of, rails_text, readings_text
from service.documents.plan_index import PlanIndex
from service.documents.workbook.table import Book, Column, Look, Table, Value, length_columns, length_values
from solver.lengths import length_text
from solver.plan import Screen


def sizes(book: Book, index: PlanIndex) -> None:
    """Write one row for each opening: readings, frame, rails, mesh blank, hardware, and the arithmetic."""
    columns = (
        Column("Opening", 14, Look.WRAPPED),
        Column("Qty", 5, Look.NUMBER),
        Column("Where", 14, Look.WRAPPED),
        Column("Order", 9, Look.WRAPPED),
        Column("Read", 15, Look.WRAPPED),
        *length_columns(book, "Frame width"),
        *length_columns(book, "Frame height"),
        Column("Profile, colour, mesh", 12, Look.WRAPPED),
        Column("Rails to cut", 20, Look.WRAPPED),
        Column("Mesh blank", 13, Look.WRAPPED),
        Column("Hardware for one screen", 24, Look.WRAPPED),
        Column("How the sizes came about", 38, Look.WRAPPED),
    )
    table = Table(book, "sizes", columns)
    for screen in index.plan.screens:
        table.row(_row(book, index, screen), ruled=True)


def _row(book: Book, index: PlanIndex, screen: Screen) -> tuple[Value, ...]:
    opening = index.opening(screen.opening)
    return (
        screen.opening,
        screen.quantity,
        place_of(opening) if opening else "",
        opening.order if opening else "",
        readings_text(opening, book.unit) if opening else "",
        *length_values(book, screen.frame_width),
        *length_values(book, screen.frame_height),
        "\n".join(word for word in (screen.profile, screen.colour, screen.mesh) if word),
        "\n".join(rails_text(screen, book.unit)),
        f"{length_text(screen.blank_width, book.unit)} x {length_text(screen.blank_height, book.unit)}",
        "\n".join(need_text(need, book.unit) for need in screen.needs),
        "\n".join(screen.arithmetic),
    )
