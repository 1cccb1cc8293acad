"""``screenbatch check``: what is wrong or doubtful in a job file."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import click

from service.cli.findings_text import finding_lines, reading_json
from service.cli.job_file import job_argument, job_paths
from service.cli.job_options import job_options
from service.cli.remembered import remember
from service.errors import SheetError
from service.job_settings import JobSettings
from service.planning import checked
from service.sheets.findings import JobReading


@click.command()
@job_argument
@click.option("--json", "as_json", is_flag=True, help="Print findings and readings as JSON.")
@click.option(
    "--checked",
    "marked",
    type=click.Path(dir_okay=False, path_type=Path),
    help="Write the job file back with its faults marked and explained.",
)
@job_options
def check(jobs: tuple[Path, ...], as_json: bool, marked: Path | None, settings: JobSettings) -> None:
    """Say what is wrong or doubtful in a job file, cell by cell, and plan nothing.

    Ends with 1 if there is an error or an open question.
    """
    with job_paths(jobs) as paths:
        reading = checked(paths, settings)
        remember(reading)
        if marked is not None:
            _write_marked(paths, marked, reading)
    click.echo(reading_json(reading) if as_json else "\n".join(finding_lines(reading.findings)))
    if not reading.usable:
        raise SystemExit(1)


def _write_marked(paths: Sequence[tuple[str, Path]], out: Path, reading: JobReading) -> None:
    from service.sheets.checked import write_checked

    if len(paths) != 1 or paths[0][1].suffix.lower() == ".json":
        raise click.UsageError("--checked takes one spreadsheet at a time")
    try:
        write_checked(paths[0][1], out, reading.findings)
    except SheetError:
        click.echo(f"{out} is not written: the file cannot be read at all", err=True)
    except OSError as error:
        raise click.UsageError(f"{out} cannot be written: {error.strerror}") from error
