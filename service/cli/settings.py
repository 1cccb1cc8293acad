"""``screenbatch settings``: the service's settings in effect."""

from __future__ import annotations

import json
from pathlib import Path

import click

from service.cli.service_options import settings_of, store_options
from service.settings import PREFIX, ServiceSettings, without_secrets


@click.command()
@click.option("--json", "as_json", is_flag=True, help="Print them as JSON.")
@store_options
def settings(as_json: bool, data: Path | None, database: str | None) -> None:
    """Show every setting of the service as it is in effect, its variable and what it means."""
    effective = without_secrets(settings_of(data=data, database=database))
    if as_json:
        click.echo(json.dumps(effective, indent=2))
        return
    for name, value in effective.items():
        field = ServiceSettings.model_fields[name]
        click.echo(f"{PREFIX}{name.upper()}={'' if value is None else value}\n    {field.description}")
