"""``screenbatch serve``: the HTTP service."""

from __future__ import annotations

from typing import Any

import click

from service.cli.service_options import settings_of, store_options
from service.errors import ServiceError


@click.command()
@click.option("--host", help="Address to listen on. Default: 127.0.0.1.")
@click.option("--port", type=int, help="Port to listen on. Default: 8000.")
@store_options
@click.option("--engine", help="Where parts are solved: local, or dask://HOST:PORT. Default: local.")
@click.option("--slots", type=int, help="Parts solved side by side. Default: one a core.")
def serve(**given: Any) -> None:
    """Run the HTTP service. Every other setting is in the environment or a settings file."""
    import uvicorn

    from service import logs
    from service.bootstrap import service

    settings = settings_of(**given)
    try:
        logs.set_up(settings.log)
        app = service(settings)
    except ServiceError as error:
        raise click.UsageError(str(error)) from error
    except OSError as error:
        raise click.UsageError(f"{error.filename}: {error.strerror}") from error
    uvicorn.run(
        app, host=settings.host, port=settings.port, log_config=None, server_header=False, timeout_graceful_shutdown=10
    )
