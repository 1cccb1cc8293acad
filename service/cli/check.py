"""``screenbatch check``: what is wrong or doubtful in a job file."""

from __future__ import annotations

from pathlib import Path

import click

from service.cli.job_file import job_argument, job_paths
from service.cli.job_options import job_options
from service.cli.reading import check_job
from service.cli.remembered import remember
from service.errors import PartFailedError
from service.job_settings import JobSettings


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
        if marked is not None and (len(paths) != 1 or paths[0][1].suffix.lower() == ".json"):
            raise click.UsageError("--checked takes one spreadsheet at a time")
        try:
            found = check_job(paths, settings, as_json=as_json, mark=marked is not None)
        except PartFailedError as error:
            raise click.ClickException(str(error)) from error
    if found.usable:
        remember(found.mapping)
    if marked is not None:
        _write_marked(marked, found.marked)
    click.echo(found.text)
    if not found.usable:
        raise SystemExit(1)


def _write_marked(out: Path, content: bytes | None) -> None:
    if content is None:
        click.echo(f"{out} is not written: the file cannot be read at all", err=True)
        return
    try:
        out.write_bytes(content)
    except OSError as error:
        raise click.UsageError(f"{out} cannot be written: {error.strerror}") from error
