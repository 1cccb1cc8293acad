"""Options that name the service's settings, for every command that opens its store."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import click

from service.errors import SettingsError
from service.settings import ServiceSettings, load

_STORE_OPTIONS = (
    click.option("--data", type=click.Path(file_okay=False, path_type=Path), help="Folder for the database and files."),
    click.option("--database", help="Database URL. Default: SQLite in the data folder."),
)


def store_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """Add the options that say where the job store is."""
    for option in reversed(_STORE_OPTIONS):
        command = option(command)
    return command


def settings_of(**given: Any) -> ServiceSettings:
    """Return the settings in effect, those given on the command line first."""
    try:
        return load(given)
    except SettingsError as error:
        raise click.UsageError(str(error)) from error
