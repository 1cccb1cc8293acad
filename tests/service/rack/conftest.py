"""The same rules for every database under the rack."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from service.rack.rack import Rack


@pytest.fixture(params=["sqlite", "postgresql"])
def url(request: pytest.FixtureRequest, tmp_path: Path) -> str:
    if request.param == "sqlite":
        return f"sqlite:///{tmp_path / 'jobs.sqlite3'}"
    return str(request.getfixturevalue("fresh_postgresql"))


@pytest.fixture
def rack(url: str) -> Iterator[Rack]:
    opened = Rack(url)
    yield opened
    opened.close()
