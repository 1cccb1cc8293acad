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

_SIDES = ("sticks", "mesh", "hardware", "kits", "delivery", "total")


@click.command()
@revision_argument
@belonging_option(Belonging.ORDER)
def shares(revision: Path, by: Belonging) -> None:
    """Share the cost of a plan out to its orders, adding up to the cent, as CSV.

    Each purchase line is shared by what the orders use of it: sticks and kits
    by the rails' length with one saw cut each, mesh by the blanks' area,
    hardware by count or length, deliveries by everything else. Cents left over
    go to the largest remainders.
    """
    opened, _ = opened_revision(revision)
    lines = csv.writer(sys.stdout, lineterminator="\n")
    lines.writerow([by.value, "screens", *_SIDES, "currency"])
    answer = cost_shares(opened.problem, opened.plan, by)
    for share in answer:
        lines.writerow(
            [
                csv_plain(share.order),
                share.screens,
                *(money_text(getattr(share, side)).replace(",", "") for side in _SIDES),
                opened.plan.currency,
            ]
        )
