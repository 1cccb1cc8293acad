"""``screenbatch what-if``: plans over a few choices side by side."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path

import click

from service.cli.job_file import job_argument
from service.cli.job_options import job_options
from service.cli.outcomes import job_problem, limits_for, refusals
from service.job_settings import JobSettings
from service.revisions.words import outcome_json, variations
from solver.choices import Outcome, Variation
from solver.choices import what_if as compared
from solver.lengths import Unit
from solver.money import money_text


@click.command("what-if")
@job_argument
@click.option(
    "--choice",
    "choices",
    multiple=True,
    required=True,
    metavar='"16 ft: stick=5/16,white,16 ft,12.60"',
    help="A name, a colon, and changes parted by semicolons; may be given several times.",
)
@click.option("--json", "as_json", is_flag=True, help="Print the comparison as JSON.")
@job_options
def what_if(jobs: tuple[Path, ...], choices: tuple[str, ...], as_json: bool, settings: JobSettings) -> None:
    """Compare plans over a few choices side by side, with money and waste.

    Changes: stick=PROFILE,COLOUR,LENGTH,PRICE (one more length on sale);
    without=STOCK; profile=NAME; colour=NAME; mesh=NAME; turned (mesh may turn);
    corner=mitred or corner=square,LEG; spares=PER CENT; phases (one by one).
    """
    with refusals():
        problem = job_problem(jobs, settings)
        wanted = dict(_choice(text, problem.unit) for text in choices)
        outcomes = compared(problem, wanted, limits_for(settings))
    show_outcomes(outcomes, as_json=as_json)


def _choice(text: str, unit: Unit) -> tuple[str, list[Variation]]:
    name, colon, words = text.partition(":")
    if not colon:
        raise click.UsageError(f"--choice {text}: write NAME: CHANGE; CHANGE")
    return name.strip(), variations(words, unit)


def show_outcomes(outcomes: Sequence[Outcome], *, as_json: bool) -> None:
    """Print outcomes as a table or as JSON."""
    if as_json:
        click.echo(json.dumps([outcome_json(outcome) for outcome in outcomes], indent=2, ensure_ascii=False))
        return
    width = max(len(outcome.name) for outcome in outcomes)
    for outcome in outcomes:
        if outcome.trouble:
            click.echo(f"{outcome.name:{width}}  cannot be planned: {outcome.trouble}")
            continue
        currency = outcome.plans[0].currency
        total = "no prices" if outcome.total is None else money_text(outcome.total, currency)
        more = "" if outcome.more_than_first is None else f"  {outcome.more_than_first / 100:+,.2f}"
        waste = f"rail waste {float(outcome.rail_waste):.1%}, mesh waste {float(outcome.mesh_waste):.1%}"
        click.echo(f"{outcome.name:{width}}  {total:>14}{more:>12}  {outcome.sticks} sticks, {waste}")
