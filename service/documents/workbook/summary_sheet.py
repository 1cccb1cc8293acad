"""The first sheet: what to buy for how much, how sure that is, and what doing it by hand would cost."""

from __future__ import annotations

from service.documents.group_text import (
    group_by_hand,
    group_certainty,
    group_cost,
    group_name,
    group_saved,
    groups_of,
)
from service.documents.plain_text import plain
from service.documents.plan_index import PlanIndex
from service.documents.summary_text import summary_lines
from service.documents.workbook.table import Book, Look, set_up_page

_WIDTHS = (24, 16, 38, 16, 14, 40)


def summary(book: Book, index: PlanIndex) -> None:
    """Write the summary in sentences, then one row for each group with its proof and its comparison."""
    sheet = book.workbook.add_worksheet("summary")
    set_up_page(book, sheet)
    for at, width in enumerate(_WIDTHS):
        sheet.set_column(at, at, width)
    at = 0
    for line in summary_lines(index.problem, index.plan, with_groups=False):
        sheet.write_string(at, 0, plain(line), book.title if at == 0 else book.look(Look.TEXT))
        at += 1
    at += 1
    headings = ("Group", "This plan", "How sure", "By hand", "Against by hand", "How a shop would do it by hand")
    sheet.set_row(at, 30)
    for column, heading in enumerate(headings):
        sheet.write_string(at, column, heading, book.heading)
    unit, currency = index.problem.unit, index.plan.currency
    for group in groups_of(index.plan):
        at += 1
        texts = (
            group_name(group),
            group_cost(group, unit, currency),
            group_certainty(group),
            group_by_hand(group, unit, currency),
            group_saved(group),
            group.by_hand.words,
        )
        sheet.set_row(at, 30)
        for column, text in enumerate(texts):
            sheet.write_string(at, column, plain(text), book.look(Look.WRAPPED, ruled=True))
