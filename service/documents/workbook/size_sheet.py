"""The sheet of sizes: what each opening became, and how."""

from __future__ import annotations

from service.documents.amounts import need_name
from service.documents.frame_text import place_of, rails_text
from service.documents.plan_index import PlanIndex
from service.documents.workbook.table import Book, Column, Look, Table, Value, length_columns, length_values
from solver.lengths import length_text
from solver.openings import Opening
from solver.plan import Screen


def sizes(book: Book, index: PlanIndex) -> None:
    """Write one row for each opening: frame, rails, mesh blank, hardware, and the arithmetic from the readings."""
    columns = (
        Column("Opening", 14, Look.WRAPPED),
        Column("Qty", 5, Look.NUMBER),
        Column("Where, order", 16, Look.WRAPPED),
        *length_columns(book, "Frame width"),
        *length_columns(book, "Frame height"),
        Column("Profile, colour, mesh", 12, Look.WRAPPED),
        Column("Rails to cut", 20, Look.WRAPPED),
        Column("Mesh blank", 12, Look.WRAPPED),
        Column("Hardware for one screen", 24, Look.WRAPPED),
        Column("How the sizes came about", 62, Look.WRAPPED),
    )
    table = Table(book, "sizes", columns)
    for screen in index.plan.screens:
        table.row(_row(book, index.opening(screen.opening), screen), ruled=True)


def _row(book: Book, opening: Opening | None, screen: Screen) -> tuple[Value, ...]:
    return (
        screen.opening,
        screen.quantity,
        _where(opening) if opening else "",
        *length_values(book, screen.frame_width),
        *length_values(book, screen.frame_height),
        "\n".join(word for word in (screen.profile, screen.colour, screen.mesh) if word),
        "\n".join(rails_text(screen, book.unit)),
        f"{length_text(screen.blank_width, book.unit)} x {length_text(screen.blank_height, book.unit)}",
        "\n".join(need_name(need, book.unit) for need in screen.needs),
        "\n".join(screen.arithmetic),
    )


def _where(opening: Opening) -> str:
    order = f"order {opening.order}" if opening.order else ""
    return "\n".join(word for word in (place_of(opening), order) if word)
