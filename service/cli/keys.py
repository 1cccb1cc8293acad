"""``screenbatch keys``: make, list and revoke API keys."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import click

from service.cli.service_options import settings_of, store_options
from service.errors import ServiceError
from service.jobs.keys import KeyRing


@click.group()
def keys() -> None:
    """Make, list and revoke API keys; whoever sends a key sees the jobs of its tenant."""


@keys.command()
@click.option("--tenant", required=True, help="Whose jobs the key opens: lower-case letters, digits, hyphens.")
@click.option("--note", default="", help="What the key is for.")
@store_options
def create(tenant: str, note: str, data: Path | None, database: str | None) -> None:
    """Make a key and print it, this once: only its hash is kept."""
    with _key_ring(data, database) as ring:
        try:
            key, token = ring.create(tenant, note)
        except ValueError as error:
            raise click.UsageError(str(error)) from error
    click.echo(f"key {key.id} of tenant {key.tenant}; send it as Authorization: Bearer KEY", err=True)
    click.echo(token)


@keys.command("list")
@store_options
def list_keys(data: Path | None, database: str | None) -> None:
    """List keys: id, tenant, when made, when revoked, note."""
    with _key_ring(data, database) as ring:
        for key in ring.all():
            state = f"revoked {_day(key.revoked)}" if key.revoked is not None else "in use"
            click.echo(f"{key.id}  {key.tenant:20}  made {_day(key.created)}  {state:20}  {key.note}".rstrip())


@keys.command()
@click.argument("key_id", metavar="ID")
@store_options
def revoke(key_id: str, data: Path | None, database: str | None) -> None:
    """Revoke a key at once and for good."""
    with _key_ring(data, database) as ring:
        key = ring.revoke(key_id)
    click.echo(f"key {key.id} of tenant {key.tenant} is revoked")


@contextlib.contextmanager
def _key_ring(data: Path | None, database: str | None) -> Iterator[KeyRing]:
    from service.bootstrap import job_store

    try:
        store = job_store(settings_of(data=data, database=database))
        yield KeyRing(store)
        store.close()
    except ServiceError as error:
        raise click.UsageError(str(error)) from error


def _day(seconds: float) -> str:
    return datetime.fromtimestamp(seconds, UTC).strftime("%Y-%m-%d")
