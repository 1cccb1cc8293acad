"""The sheets that are plain lists: purchases, notices and cautions, what to measure again, rules."""

from __future__ import annotations

from service.documents.amounts import amount_text, buy_text, loose_length, size_text
from service.documents.notice_text import by_gravity, openings_text
from service.documents.plan_index import PlanIndex
from service.documents.rules_text import rule_lines
from service.documents.visits import visits
from service.documents.workbook.table import Book, Column, Look, Table, money_value
from solver.lengths import mm_number


def purchase_list(book: Book, index: PlanIndex) -> None:
    """Write what to buy and what to take from the rack, with a box to tick."""
    money = f" {book.money}" if book.money else ""
    columns = (
        Column("Got", 5),
        Column("What", 24, Look.WRAPPED),
        Column("Stock", 18, Look.WRAPPED),
        Column("Buy", 9, Look.RIGHT),
        Column("Each holds", 11, Look.RIGHT),
        Column(f"Price{money}", 10, Look.MONEY),
        Column(f"Cost{money}", 10, Look.MONEY),
        Column("Supplier", 13, Look.WRAPPED),
        Column("Needed", 9, Look.RIGHT),
        Column("On hand", 9, Look.RIGHT),
        Column("Left over", 9, Look.RIGHT),
        Column("Why", 34, Look.WRAPPED),
    )
    table = Table(book, "purchase list", columns)
    for line in index.plan.purchases:
        values = (
            "☐",
            line.what,
            line.stock,
            buy_text(line, book.unit) if loose_length(line) else line.buy,
            size_text(line, book.unit),
            money_value(line.price),
            money_value(line.cost),
            line.supplier,
            amount_text(line.need, book.unit, by_length=line.by_length),
            amount_text(line.on_hand, book.unit, by_length=line.by_length, up=False),
            amount_text(line.left, book.unit, by_length=line.by_length, up=False),
            line.why,
        )
        table.row(values, ruled=True)
    if index.plan.total is not None:
        total = money_value(index.plan.total)
        table.row(("", "Total", "", None, "", None, total, "", "", "", "", ""), ruled=True, strong=True)


def notices(book: Book, index: PlanIndex) -> None:
    """Write the cautions first, then what to review, then what is good to know."""
    columns = (
        Column("Kind", 10),
        Column("About", 14),
        Column("What", 80, Look.WRAPPED),
        Column("Openings", 44, Look.WRAPPED),
    )
    table = Table(book, "notices", columns)
    for notice in by_gravity(index.plan.notices):
        table.row((notice.kind.value, notice.topic, notice.message, openings_text(notice.openings)), ruled=True)


def rules_used(book: Book, index: PlanIndex) -> None:
    """Write every shop rule as it held in this plan, and what was assumed."""
    columns = (
        Column("Rule", 22),
        Column("Value", 18, Look.RIGHT),
        Column("mm", 10, Look.NUMBER),
        Column("What it is", 64, Look.WRAPPED),
        Column("Only for openings", 40, Look.WRAPPED),
    )
    table = Table(book, "rules", columns)
    for rule in rule_lines(index.problem):
        metric = None if rule.length is None else mm_number(rule.length)
        table.row((rule.name, rule.text, metric, rule.what, openings_text(rule.openings) if rule.openings else ""))


def measure_again(book: Book, index: PlanIndex) -> None:
    """Write what to measure again in walking order, if there is anything."""
    route = visits(index.problem, index.plan)
    if not route:
        return
    columns = (
        Column("Building", 12),
        Column("Floor", 8),
        Column("Unit", 10),
        Column("Room", 12),
        Column("Opening", 18, Look.WRAPPED),
        Column("Read before", 20, Look.WRAPPED),
        Column("Why", 60, Look.WRAPPED),
        Column("New width", 14),
        Column("New height", 14),
    )
    table = Table(book, "measure again", columns)
    for visit in route:
        words = (visit.building, visit.floor, visit.unit, visit.room, visit.opening, visit.read, visit.why)
        table.row((*words, "", ""), ruled=True)
