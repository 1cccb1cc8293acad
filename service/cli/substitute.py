"""``screenbatch substitute``: stock that is out."""

from __future__ import annotations

from difflib import get_close_matches
from pathlib import Path

import click

from service.cli.job_file import job_argument
from service.cli.job_options import job_options
from service.cli.outcomes import job_problem, limits_for, refusals
from service.cli.what_if import show_outcomes
from service.job_settings import JobSettings
from solver.choices import hit_by, substitutes


@click.command()
@job_argument
@click.option("--stock", required=True, help="Name of the stick or roll that is out, as in the stock list.")
@click.option("--json", "as_json", is_flag=True, help="Print the comparison as JSON.")
@job_options
def substitute(jobs: tuple[Path, ...], stock: str, as_json: bool, settings: JobSettings) -> None:
    """Say which openings some stock hits when it is out, and what other sizes, colours or meshes cost instead."""
    with refusals():
        problem = job_problem(jobs, settings)
        try:
            outcomes = substitutes(problem, stock, limits_for(settings))
        except KeyError as error:
            stocked = problem.catalogue
            known = [stick.name for stick in stocked.sticks] + [roll.name for roll in stocked.rolls]
            known += [kit.name for kit in stocked.kits]
            near = get_close_matches(stock, known, 5) or known[:5]
            raise click.UsageError(f"no stick, roll or kit is called {stock}; there is {', '.join(near)}") from error
    if not outcomes[0].plans and not as_json:
        click.echo(f"the job as it stands cannot be planned: {outcomes[0].trouble}")
    hits = [hit for plan in outcomes[0].plans for hit in hit_by(plan, stock)]
    if not as_json:
        named = ", ".join(hit.opening for hit in hits[:30]) + (f" and {len(hits) - 30} more" if len(hits) > 30 else "")
        click.echo(f"{len(hits)} openings have pieces of {stock}{': ' if hits else ''}{named}")
    show_outcomes(outcomes, as_json=as_json)
