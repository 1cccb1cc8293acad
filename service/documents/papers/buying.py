"""The purchase list on paper, by supplier, with boxes to tick; without prices it asks for them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from pathlib import Path

from service.documents.amounts import amount_text, buy_text
from service.documents.comparison import total_certainty, unpriced
from service.documents.papers.faces import Face
from service.documents.papers.paging import Block, heading, job_frame, text_lines, write_pages
from service.documents.papers.setup import PaperSetup
from service.documents.papers.tables import Fill, PaperColumn, PaperTable
from solver.lengths import Unit
from solver.money import Cents, money_text
from solver.plan import Plan, PurchaseLine
from solver.problem import Problem


def write_purchase_paper(problem: Problem, plan: Plan, path: Path, setup: PaperSetup) -> None:
    """Write what to buy from whom, and what to take from the rack.

    Lines without a price leave room for one: the same paper asks a supplier for a quotation.
    """
    title = "purchase list" if plan.total is not None else "request for quotation"
    frame = job_frame(problem, setup, title, setup.paper.upright)
    write_pages(path, frame, _blocks(problem, plan, frame.width))


def _blocks(problem: Problem, plan: Plan, width: float) -> Iterator[Block]:
    by_supplier: dict[str, list[PurchaseLine]] = defaultdict(list)
    for line in plan.purchases:
        if line.buy:
            by_supplier[line.supplier].append(line)
    for supplier, lines in by_supplier.items():
        yield from _supplier(supplier or "supplier not named", lines, problem.unit, plan.currency, width)
    taken = [line for line in plan.purchases if line.on_hand]
    if taken:
        yield from _rack(taken, problem.unit, width)
    if plan.total is not None:
        yield _total(plan, plan.total)


def _supplier(supplier: str, lines: Sequence[PurchaseLine], unit: Unit, currency: str, width: float) -> Iterator[Block]:
    money = f" {currency}" if currency else ""
    columns = (
        PaperColumn(heading="Got", share=4, fill=Fill.TICK),
        PaperColumn(heading="Buy", share=19, fill=Fill.NUMBER, face=Face.BOLD, size=12),
        PaperColumn(heading="What", share=25),
        PaperColumn(heading="Stock", share=21),
        PaperColumn(heading=f"Price{money}", share=10, fill=Fill.MONEY),
        PaperColumn(heading=f"Cost{money}", share=12, fill=Fill.MONEY),
        PaperColumn(heading="Left over", share=11, fill=Fill.NUMBER),
    )
    table = PaperTable(columns, width, (heading(supplier, 14),))
    for line in lines:
        left = amount_text(line.left, unit, by_length=line.by_length, up=False) if line.left else ""
        yield table.row(("", buy_text(line, unit), line.what, line.stock, _money(line.price), _money(line.cost), left))
    costs = [line.cost for line in lines]
    known = [cost for cost in costs if cost is not None]
    if len(known) == len(costs):
        yield text_lines([f"total of these lines {money_text(Cents(sum(known)), currency)}"], 11)


def _rack(lines: Sequence[PurchaseLine], unit: Unit, width: float) -> Iterator[Block]:
    columns = (
        PaperColumn(heading="Found", share=7, fill=Fill.TICK),
        PaperColumn(heading="Take", share=16, fill=Fill.NUMBER, face=Face.BOLD, size=12),
        PaperColumn(heading="What", share=36),
        PaperColumn(heading="Stock", share=36),
    )
    table = PaperTable(columns, width, (heading("from the rack", 14),))
    for line in lines:
        amount = amount_text(line.on_hand, unit, by_length=line.by_length)
        yield table.row(("", amount, line.what, line.stock))


def _total(plan: Plan, total: Cents) -> Block:
    lines = [f"Total {money_text(total, plan.currency)}", total_certainty(plan)]
    if unpriced(plan):
        lines.insert(1, unpriced(plan))
    lines.extend(
        f"For comparison: {way.name} {money_text(way.cost, plan.currency)}"
        for way in plan.alternatives
        if way.cost is not None and way.name != "this plan"
    )
    return text_lines(lines, 11, above=14)


def _money(amount: Cents | None) -> str:
    return "" if amount is None else money_text(amount)
