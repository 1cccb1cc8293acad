"""What a check leaves beside its findings: the file with its marks, and the column mapping to remember."""

import pytest

from service.jobs.bench import Bench
from service.jobs.desk import Desk
from service.jobs.records import Attachment
from service.jobs.store import JobStore
from tests.service.jobs.job_builders import DIGEST, a_wish, claimed, error, new_parts, question


@pytest.fixture
def desk(store: JobStore) -> Desk:
    return Desk(store)


@pytest.fixture
def bench(store: JobStore) -> Bench:
    return Bench(store)


MARKED = Attachment(name="checked.xlsx", digest=DIGEST, size=10)
COLUMNS = {"shape": {"width": "B"}}


def test_the_marked_file_stands_with_a_refused_job(desk: Desk, bench: Bench) -> None:
    refused = desk.accept(a_wish())
    bench.refused(claimed(bench), (error(),), (MARKED,))
    waiting = desk.accept(a_wish())
    bench.refused(claimed(bench), (question(),), (MARKED,))
    assert [desk.job("shop", job.id).documents for job in (refused, waiting)] == [(MARKED,), (MARKED,)]


def test_a_mapping_is_remembered_for_the_tenant_alone(desk: Desk, bench: Bench) -> None:
    desk.accept(a_wish())
    bench.checked(claimed(bench), (), DIGEST, new_parts(1), "", COLUMNS)
    assert bench.remembered_columns("shop") == COLUMNS
    assert bench.remembered_columns("another shop") == {}


def test_a_job_without_a_mapping_adds_nothing_to_remember(desk: Desk, bench: Bench) -> None:
    desk.accept(a_wish())
    bench.checked(claimed(bench), (), DIGEST, new_parts(1))
    assert bench.remembered_columns("shop") == {}
