"""``screenbatch cutting-order``: which stick is cut when."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import click

from service.cli.belonging_option import belonging_option
from service.cli.outcomes import limits_for, refusals, written_into
from service.cli.revision_file import opened_revision, revision_argument
from service.job_settings import JobSettings
from solver.money import money_text
from solver.pooling import Belonging, CuttingOrder, Phased, within_open_orders


@click.command("cutting-order")
@revision_argument
@belonging_option(Belonging.ORDER)
@click.option("--due", "due", multiple=True, metavar="ORDER=2026-12-01", help="When an order is due.")
@click.option("--most-open", type=click.IntRange(1), default=1_000_000, help="Orders open on the saw at once.")
@click.option("--seconds", type=float, default=60.0, show_default=True, help="Time limit for each group of pieces.")
@click.option(
    "--out", required=True, type=click.Path(file_okay=False, path_type=Path), help="Folder for the documents."
)
def cutting_order(
    revision: Path, by: Belonging, due: tuple[str, ...], most_open: int, seconds: float, out: Path
) -> None:
    """Cut a plan order by order, those due first, with few orders open at once.

    The cuts stay the same and are numbered anew. Where more orders would be
    open than allowed, batches of so many orders are planned one after the
    other, with the price of the difference.
    """
    opened, _ = opened_revision(revision)
    days = dict(_due(text) for text in due)
    with refusals():
        answer = within_open_orders(
            opened.problem, opened.plan, limits_for(JobSettings(seconds=seconds)), most_open, days, by
        )
    if isinstance(answer, CuttingOrder):
        written_into(out, opened.problem, answer.plan)
        click.echo(f"at most {answer.most_open} open at once; finished in this order: {', '.join(answer.finished)}")
        return
    write_phases(answer, out)


def write_phases(answer: Phased, out: Path) -> None:
    """Write every phase into a folder of its own and say what each costs, and the difference to the joint plan."""
    for number, phase in enumerate(answer.phases, start=1):
        written_into(out / f"{number}", phase.problem, phase.plan)
        screens = sum(screen.quantity for screen in phase.plan.screens)
        cost = "" if phase.plan.total is None else f", buys for {money_text(phase.plan.total, phase.plan.currency)}"
        click.echo(f"{number}: {phase.name or 'no name'}, {screens} screens{cost}")
    if answer.total is not None and answer.price_of_difference is not None and answer.joint.total is not None:
        currency = answer.joint.currency
        click.echo(
            f"one by one {money_text(answer.total, currency)}, jointly {money_text(answer.joint.total, currency)}: "
            f"the difference is {money_text(answer.price_of_difference, currency)}"
        )


def _due(text: str) -> tuple[str, int]:
    order, _, day = text.rpartition("=")
    try:
        return order.strip(), date.fromisoformat(day.strip()).toordinal()
    except ValueError as error:
        raise click.UsageError(f"--due {text}: write ORDER=2026-12-01") from error
