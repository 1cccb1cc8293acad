"""``screenbatch phases``: one by one beside all at once."""

from __future__ import annotations

from pathlib import Path

import click

from service.cli.belonging_option import belonging_option
from service.cli.cutting_order import write_phases
from service.cli.job_file import job_argument
from service.cli.job_options import job_options
from service.cli.outcomes import job_problem, limits_for, refusals
from service.job_settings import JobSettings
from solver.pooling import Belonging, one_by_one


@click.command()
@job_argument
@belonging_option(Belonging.PHASE)
@click.option("--out", required=True, type=click.Path(file_okay=False, path_type=Path), help="A folder for each phase.")
@job_options
def phases(jobs: tuple[Path, ...], by: Belonging, out: Path, settings: JobSettings) -> None:
    """Plan phase by phase, leftovers carried over, beside one joint plan, with the price of the difference."""
    with refusals():
        answer = one_by_one(job_problem(jobs, settings), limits_for(settings), by.of)
    write_phases(answer, out)
