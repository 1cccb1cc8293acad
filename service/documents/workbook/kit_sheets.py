"""The sheets that only some jobs have: kits opened, other ways to buy, what the leftovers would make."""

from __future__ import annotations

from service.documents.amounts import amount_text, need_text
from service.documents.plan_index import PlanIndex
from service.documents.workbook.table import (
    Book,
    Column,
    Look,
    Table,
    length_columns,
    length_values,
    money_value,
)


def kits(book: Book, index: PlanIndex) -> None:
    """Write what each sort of kit holds, what the plan uses of it and what is left, if any kit is opened."""
    if not index.plan.kits:
        return
    columns = (
        Column("Kit", 26),
        Column("Buy", 7, Look.NUMBER),
        Column("On hand", 8, Look.NUMBER),
        Column("Content", 30),
        *length_columns(book, "Length"),
        Column("There", 11, Look.RIGHT),
        Column("Used", 11, Look.RIGHT),
        Column("Left", 11, Look.RIGHT),
    )
    table = Table(book, "kits", columns)
    for use in index.plan.kits:
        for at, content in enumerate(use.contents):
            amounts = (content.there, content.used, content.there - content.used)
            texts = (amount_text(amount, book.unit, by_length=content.by_length, up=False) for amount in amounts)
            length = length_values(book, content.length)
            table.row((use.kit, use.buy, use.on_hand, content.what, *length, *texts), ruled=at == 0)


def other_ways(book: Book, index: PlanIndex) -> None:
    """Write the other ways to buy the whole job beside this plan, if any were worked out."""
    if not index.plan.alternatives:
        return
    money = f" {book.money}" if book.money else ""
    columns = (Column("Way", 30), Column(f"Cost{money}", 14, Look.MONEY), Column("What it means", 90, Look.WRAPPED))
    table = Table(book, "other ways to buy", columns)
    for way in index.plan.alternatives:
        words = way.words if way.cost is not None else f"{way.words} (no way for this job)"
        table.row((way.name, money_value(way.cost), words), ruled=True)


def still_possible(book: Book, index: PlanIndex) -> None:
    """Write the screens that the leftovers would still make, if there are any."""
    if not index.plan.still_possible:
        return
    columns = (
        Column("Profile, colour, mesh", 36, Look.WRAPPED),
        *length_columns(book, "Frame width"),
        *length_columns(book, "Frame height"),
        Column("How many", 9, Look.NUMBER),
        Column("", 14),
        Column("To buy for them", 50, Look.WRAPPED),
    )
    words = (
        "Screens that what is left, uncut stock included, would still make. "
        "Each line stands for itself; all draw on the same leftovers.",
    )
    table = Table(book, "from leftovers", columns, before=words)
    for made in index.plan.still_possible:
        values = (
            ", ".join(word for word in (made.profile, made.colour, made.mesh) if word),
            *length_values(book, made.frame_width),
            *length_values(book, made.frame_height),
            made.count,
            "the largest" if made.largest else "",
            "\n".join(need_text(need, book.unit) for need in made.missing),
        )
        table.row(values, ruled=True)
