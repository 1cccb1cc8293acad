"""``screenbatch check``: what is wrong or doubtful in a job file."""

from __future__ import annotations

from pathlib import Path

import click

from service.cli.findings_text import finding_lines, reading_json
from service.cli.job_file import job_argument, job_paths
from service.cli.job_options import job_options
from service.job_settings import JobSettings
from service.planning import checked


@click.command()
@job_argument
@click.option("--json", "as_json", is_flag=True, help="Print findings and readings as JSON.")
@job_options
def check(jobs: tuple[Path, ...], as_json: bool, settings: JobSettings) -> None:
    """Say what is wrong or doubtful in a job file, cell by cell, and plan nothing.

    Ends with 1 if there is an error or an open question.
    """
    with job_paths(jobs) as paths:
        reading = checked(paths, settings)
    click.echo(reading_json(reading) if as_json else "\n".join(finding_lines(reading.findings)))
    if not reading.usable:
        raise SystemExit(1)
