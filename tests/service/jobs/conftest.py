"""The same rules for every job store: in memory, SQLite, PostgreSQL."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from service.jobs.memory_store import MemoryStore
from service.jobs.sql_store import SqlStore
from service.jobs.store import JobStore


@pytest.fixture(params=["memory", "sqlite", "postgresql"])
def store(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[JobStore]:
    opened: JobStore
    match request.param:
        case "memory":
            opened = MemoryStore()
        case "sqlite":
            opened = SqlStore(f"sqlite:///{tmp_path / 'jobs.sqlite3'}")
        case _:
            opened = SqlStore(request.getfixturevalue("fresh_postgresql"))
    yield opened
    opened.close()
