"""Every setting of the service in one place: by command line, environment or file, in that order."""

from __future__ import annotations

import os
import re
import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from service.errors import SettingsError
from service.machine_memory import MEBIBYTE, usual_part_memory

PREFIX = "SCREENBATCH_"
_FILE_VARIABLE = "SCREENBATCH_SETTINGS"


class ServiceSettings(BaseModel):
    """Settings of the service. In the environment ``port`` is ``SCREENBATCH_PORT``, in a TOML file ``port = 8000``."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    host: str = Field(default="127.0.0.1", description="Address to listen on.")
    port: int = Field(default=8000, ge=0, le=65535, description="Port to listen on; 0 for any free one.")
    data: Path = Field(default=Path("screenbatch-data"), description="Folder for the database and the files of jobs.")
    database: str = Field(default="", description="Database URL; empty for SQLite in the data folder.")
    files: str = Field(
        default="",
        description="Object store for the files of jobs, such as s3://bucket/jobs; empty for the data folder.",
    )
    engine: str = Field(
        default="local", description="Where parts are solved: local, or dask://HOST:PORT (dask+tls:// for TLS)."
    )
    slots: int = Field(
        default=0, ge=0, le=1024, description="Parts solved side by side; 0 for one a core, 16 on a cluster."
    )
    memory_mb: int = Field(
        default=0,
        ge=0,
        description="Memory a part may use, in MB; 0 for half of the machine's, at least 2048 and at most 8192.",
    )
    check_seconds: float = Field(default=60, gt=0, description="Time in which a job file must be read.")
    spare_seconds: float = Field(
        default=30, gt=0, description="Seconds beyond a job's own time limit after which a part is killed."
    )
    lease_seconds: float = Field(default=15, ge=1, description="How long a silent worker keeps its parts.")
    upload_mb: int = Field(default=25, ge=1, le=1024, description="Largest upload, in MB.")
    queue_cap: int = Field(default=10_000, ge=1, description="Parts one tenant may have waiting.")
    keys_needed: bool | None = Field(
        default=None, description="Whether requests need an API key; by default on every address but loopback."
    )
    hosts: str = Field(default="", description="Host names that mean this machine, by comma, beside localhost.")
    requests_per_second: float = Field(default=100, gt=0, description="Requests a caller may send in the long run.")
    requests_at_once: int = Field(default=500, ge=1, description="Requests a caller may send in one go.")
    private_webhooks: bool = Field(
        default=False, description="Whether webhooks may go to private addresses, and by http."
    )
    keep_days: float = Field(default=90, gt=0, description="How long an ended job is kept.")
    log: str = Field(default="auto", pattern="^(auto|json|text)$", description="Log lines: json, text, or by terminal.")

    @property
    def memory(self) -> int:
        """Memory a part may use, in bytes."""
        if self.memory_mb:
            return self.memory_mb * MEBIBYTE
        return usual_part_memory()

    @property
    def database_url(self) -> str:
        """The database URL in effect."""
        return self.database or f"sqlite:///{self.data.resolve() / 'jobs.sqlite3'}"


def load(given: Mapping[str, Any], environment: Mapping[str, str] = os.environ) -> ServiceSettings:
    """Return the settings in effect.

    Parameters
    ----------
    given
        Settings by command line; those that are None were not given.
    environment
        Variables; ``SCREENBATCH_SETTINGS`` may name a TOML file.

    Raises
    ------
    SettingsError
        If a setting is unknown or makes no sense; the message names it.
    """
    values: dict[str, Any] = {}
    if _FILE_VARIABLE in environment:
        values |= _file(Path(environment[_FILE_VARIABLE]))
    variables = {name[len(PREFIX) :].lower(): value for name, value in environment.items() if name.startswith(PREFIX)}
    values |= {name: value for name, value in variables.items() if name in ServiceSettings.model_fields}
    values |= {name: value for name, value in given.items() if value is not None}
    try:
        return ServiceSettings.model_validate(values)
    except ValidationError as error:
        wrong = (f"{'.'.join(str(step) for step in fault['loc'])}: {fault['msg']}" for fault in error.errors())
        raise SettingsError("settings that make no sense: " + "; ".join(wrong)) from error


def without_secrets(settings: ServiceSettings) -> dict[str, Any]:
    """Return settings as plain values, the password of the database left out.

    Examples
    --------
    >>> without_secrets(ServiceSettings(database="postgresql+psycopg://me:secret@db/jobs"))["database"]
    'postgresql+psycopg://me:***@db/jobs'
    """
    values = settings.model_dump(mode="json")
    return {name: _masked(value) if isinstance(value, str) else value for name, value in values.items()}


def _masked(text: str) -> str:
    """Return an address without its password, wherever in it that stands.

    Examples
    --------
    >>> _masked("postgresql+psycopg://me:se@cret@db/jobs?password=also")
    'postgresql+psycopg://me:***@db/jobs?password=***'
    """
    return re.sub(r"((?:password|passwd|secret|key)=)[^&]*", r"\1***", re.sub(r"(://[^:/@]*:).*@", r"\1***@", text))


def _file(path: Path) -> dict[str, Any]:
    try:
        return tomllib.loads(path.read_text(encoding="utf-8"))
    except (OSError, tomllib.TOMLDecodeError) as error:
        raise SettingsError(f"the settings file {path} cannot be read: {error}") from error
