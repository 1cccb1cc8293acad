"""The steps that made the tables lead to the tables as they are declared."""

from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from sqlalchemy import text

from service.jobs.migrate import up_to_date
from service.jobs.sql_store import sql_engine
from service.jobs.sql_tables import METADATA


@pytest.mark.parametrize("database", ["sqlite", "postgresql"])
def test_all_steps_together_make_the_declared_tables(
    database: str, tmp_path: Path, request: pytest.FixtureRequest
) -> None:
    sqlite = f"sqlite:///{tmp_path / 'jobs.sqlite3'}"
    engine = sql_engine(sqlite if database == "sqlite" else request.getfixturevalue("fresh_postgresql"))
    up_to_date(engine)
    up_to_date(engine)
    with engine.connect() as connection:
        assert compare_metadata(MigrationContext.configure(connection), METADATA) == []
    engine.dispose()


def test_sqlite_flushes_every_commit_and_writes_ahead(tmp_path: Path) -> None:
    engine = sql_engine(f"sqlite:///{tmp_path / 'jobs.sqlite3'}")
    with engine.connect() as connection:
        settings = {name: connection.scalar(text(f"PRAGMA {name}")) for name in ("journal_mode", "synchronous")}
    engine.dispose()
    assert settings == {"journal_mode": "wal", "synchronous": 2}
