"""One office for the tests of a file, with a block that is planned already."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from httpx import Client

from service.jobs.records import Job
from tests.service.web.office_in_memory import OfficeInMemory, browser
from tests.service.web.planned_jobs import solved_block


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[OfficeInMemory]:
    opened = OfficeInMemory(tmp_path_factory.mktemp("office"))
    yield opened
    opened.close()


@pytest.fixture(scope="module")
def planned(office: OfficeInMemory) -> Job:
    """A planned block with its documents."""
    return office.planned_job(*solved_block(), "plan.json", "cut-plan.xlsx", "purchase-list.csv", "stick-sheets.pdf")


@pytest.fixture(scope="module")
def shared_client(office: OfficeInMemory) -> Iterator[Client]:
    with browser(office.pages()) as client:
        yield client


@pytest.fixture
def client(shared_client: Client) -> Client:
    """A browser without script and without memory."""
    shared_client.cookies.clear()
    return shared_client
