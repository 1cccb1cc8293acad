"""Real servers for the service's tests, thrown away afterwards."""

import os
from collections.abc import Iterator

import pytest
from sqlalchemy import create_engine, text

from tests.service.throwaway import POSTGRESQL, ThrowawayPostgresql


@pytest.fixture(scope="session")
def postgresql() -> Iterator[str]:
    """The URL of a database server of this test run alone, from Debian's package, as the user postgres."""
    if not POSTGRESQL.is_dir():
        if os.environ.get("CI"):
            pytest.fail("Debian's postgresql is not installed")
        pytest.skip("Debian's postgresql is not installed")
    with ThrowawayPostgresql() as server:
        yield server.url


@pytest.fixture
def fresh_postgresql(postgresql: str) -> str:
    """The URL of a database server whose tables are gone."""
    engine = create_engine(postgresql)
    with engine.begin() as connection:
        connection.execute(text("DROP SCHEMA public CASCADE"))
        connection.execute(text("CREATE SCHEMA public"))
    engine.dispose()
    return postgresql
