"""``screenbatch shares``: what each order pays of a pooled plan."""

from __future__ import annotations

import csv
import sys
from pathlib import Path

import click

from service.cli.belonging_option import belonging_option
from service.cli.revision_file import opened_revision, revision_argument
from service.documents.plain_text import csv_plain
from solver.money import money_text
from solver.pooling import Belonging, cost_shares
from solver.revision import with_all_bought

_SIDES = ("sticks", "mesh", "hardware", "kits", "delivery", "total")


@click.command()
@revision_argument
@belonging_option(Belonging.ORDER)
@click.option("--whole-chain", is_flag=True, help="Of a revision: all that the plans up to it have bought.")
def shares(revision: Path, by: Belonging, *, whole_chain: bool) -> None:
    """Share the cost of a plan out to its orders, adding up to the cent, as CSV.

    Each purchase line is shared by what the orders use of it: sticks and kits
    by the rails' length with one saw cut each, mesh by the blanks' area,
    hardware by count or length, deliveries by everything else. Cents left over
    go to the largest remainders. Of a revision that is what it buys beyond the
    plans before it; --whole-chain takes them together, less what did not come.
    """
    opened, _ = opened_revision(revision)
    plan = with_all_bought(opened) if whole_chain else opened.plan
    if plan is None:
        raise click.UsageError(
            "what the plans before this one have bought is not known: their file is from an older version"
        )
    lines = csv.writer(sys.stdout, lineterminator="\n")
    lines.writerow([by.value, "screens", *_SIDES, "currency"])
    answer = cost_shares(opened.problem, plan, by)
    for share in answer:
        lines.writerow(
            [
                csv_plain(share.order),
                share.screens,
                *(money_text(getattr(share, side)).replace(",", "") for side in _SIDES),
                opened.plan.currency,
            ]
        )
