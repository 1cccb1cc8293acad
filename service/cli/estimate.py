"""``screenbatch estimate``: a budget before measuring."""

from __future__ import annotations

from pathlib import Path

import click

from service.cli.job_file import job_argument
from service.cli.job_options import job_options
from service.cli.outcomes import job_problem, limits_for, refusals
from service.job_settings import JobSettings
from service.revisions.words import length_of
from solver.estimate import Roughness
from solver.estimate import estimate as budget_of
from solver.money import Cents, money_text


@click.command()
@job_argument
@click.option("--play", default="1 in", show_default=True, help="How far off a guessed side may be.")
@click.option("--count-play", type=click.FloatRange(0, 100), default=5.0, show_default=True, help="Counts, per cent.")
@click.option("--recuts", type=click.FloatRange(0, 100), default=5.0, show_default=True, help="For recuts, per cent.")
@job_options
def estimate(jobs: tuple[Path, ...], play: str, count_play: float, recuts: float, settings: JobSettings) -> None:
    """Give a budget with a range from rough sizes, before anybody has measured.

    The job lists types of openings with guessed sizes and quantities. The low
    end is the proven least for smaller sizes and counts, the high end what
    larger ones cost with an allowance for recuts.
    """
    with refusals():
        problem = job_problem(jobs, settings)
        roughness = Roughness(
            side=length_of(play, problem.unit), count=round(count_play * 10), recuts=round(recuts * 10)
        )
        answer = budget_of(problem, roughness, limits_for(settings))
    if answer.low is None or answer.likely is None or answer.high is None:
        click.echo("the stock lists have no prices, so there is no budget", err=True)
        raise SystemExit(1)

    def words(amount: Cents) -> str:
        return money_text(amount, problem.currency)

    low, likely, high = answer.screens
    click.echo(f"low    {words(answer.low):>16}  for {low} screens")
    click.echo(f"likely {words(answer.likely):>16}  for {likely} screens")
    click.echo(f"high   {words(answer.high):>16}  for {high} screens")
    click.echo(answer.method)
