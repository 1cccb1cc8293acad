"""The purchase list as CSV, for a supplier's order form or a spreadsheet."""

from __future__ import annotations

import csv
from pathlib import Path

from service.documents.amounts import loose_length, size_text
from service.documents.plain_text import csv_plain
from service.documents.plan_values import money_string
from solver.lengths import Ticks, mm_text
from solver.money import Cents
from solver.plan import Plan, PurchaseLine
from solver.problem import Problem

HEADINGS = (
    "what",
    "stock",
    "buy",
    "each holds",
    "price",
    "cost",
    "currency",
    "supplier",
    "needed",
    "on hand",
    "left over",
    "unit",
    "why",
)


def write_purchase_list(problem: Problem, plan: Plan, path: Path) -> None:
    """Write what to buy as CSV (RFC 4180).

    UTF-8 with a byte order mark: without it, common spreadsheet programs read
    a CSV file in the machine's own 8-bit code and spoil every accent. Text that
    would start a formula gets an apostrophe in front. Amounts of what is cut to
    length are exact millimetres, others count pieces; ``buy`` counts what
    ``each holds``, or the unit itself where that is empty.
    """
    with path.open("w", encoding="utf-8-sig", newline="") as file:
        lines = csv.writer(file)
        lines.writerow(HEADINGS)
        for line in plan.purchases:
            lines.writerow([csv_plain(text) for text in _row(problem, plan, line)])


def _row(problem: Problem, plan: Plan, line: PurchaseLine) -> tuple[str, ...]:
    return (
        line.what,
        line.stock,
        _amount(line, line.buy) if loose_length(line) else str(line.buy),
        size_text(line, problem.unit),
        _money(line.price),
        _money(line.cost),
        plan.currency,
        line.supplier,
        _amount(line, line.need),
        _amount(line, line.on_hand),
        _amount(line, line.left),
        "mm" if line.by_length else "pieces",
        line.why,
    )


def _amount(line: PurchaseLine, amount: int) -> str:
    return mm_text(Ticks(amount)) if line.by_length else str(amount)


def _money(amount: Cents | None) -> str:
    return "" if amount is None else money_string(amount)
