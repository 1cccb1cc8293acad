"""Every attack once, small enough for each change; the full counts are run by the commands beside this file."""

import os
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.faults.full_disk import full_disk
from tests.faults.hostile_uploads import hostile_uploads
from tests.faults.kill_storm import kill_storm
from tests.faults.load import load
from tests.faults.outages import cluster_gone, database_gone
from tests.faults.poison_parts import poison_parts
from tests.faults.schema_attack import schema_attack

pytestmark = pytest.mark.slow


def test_killing_services_loses_nothing(tmp_path: Path) -> None:
    counts, wrong = kill_storm(tmp_path, kills=3, jobs=6, seed=1)
    assert (wrong, counts["done"]) == ([], 6)


def test_a_database_that_crashes_loses_nothing(tmp_path: Path, program: Callable[[str], str]) -> None:
    program("pg_dump")
    counts, wrong = database_gone(tmp_path, outages=1, jobs=4, seed=1)
    assert (wrong, counts["done"]) == ([], 4)


def test_a_cluster_that_loses_worker_scheduler_and_client_loses_nothing(
    tmp_path: Path, program: Callable[[str], str]
) -> None:
    program("pg_dump")
    counts, wrong = cluster_gone(tmp_path, outages=3, jobs=6, seed=1)
    assert (wrong, counts["done"]) == ([], 6)


@pytest.mark.skipif(os.getuid() != 0, reason="a small file system can be mounted by root alone")
def test_a_full_disk_loses_nothing(tmp_path: Path) -> None:
    _, wrong = full_disk(tmp_path, rounds=1, seed=1)
    assert wrong == []


def test_poison_parts_fail_alone_and_are_named(tmp_path: Path) -> None:
    _, wrong = poison_parts(tmp_path, jobs=3, seed=1)
    assert wrong == []


def test_no_upload_takes_the_service_down(tmp_path: Path) -> None:
    _, wrong = hostile_uploads(tmp_path, seed=2)
    assert wrong == []


def test_jobs_uploaded_at_once_all_finish(tmp_path: Path) -> None:
    counts, wrong = load(tmp_path, jobs=20)
    assert (wrong, counts["done"]) == ([], 20)


def test_the_service_answers_as_it_describes_itself(tmp_path: Path) -> None:
    _, wrong = schema_attack(tmp_path, examples=10, seed=1)
    assert wrong == []
