"""``screenbatch backup``: a copy of the service's data while it runs."""

from __future__ import annotations

from pathlib import Path

import click

from service.cli.service_options import settings_of
from service.errors import SettingsError


@click.command()
@click.argument("to", metavar="FOLDER", type=click.Path(file_okay=False, path_type=Path))
@click.option("--data", type=click.Path(exists=True, file_okay=False, path_type=Path), help="Folder of the service.")
def backup(to: Path, data: Path | None) -> None:
    """Copy the service's database and files into an empty folder; the service may run meanwhile.

    To restore, run the service on the copy: screenbatch serve --data FOLDER.
    """
    from service.jobs.backup import back_up

    try:
        files = back_up(settings_of(data=data).data, to)
    except SettingsError as error:
        raise click.UsageError(str(error)) from error
    click.echo(f"database and {files} files copied to {to}")
