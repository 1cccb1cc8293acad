"""A worker brings every part to an end, whatever its engine answers."""

import threading
from dataclasses import replace
from pathlib import Path

import pytest

from service.engine.asking import Allowance
from service.engine.calls import Answered, Call, Outcome, Report, Stop
from service.errors import UnknownJobError, UnstorableError
from service.job_settings import JobSettings
from service.jobs.bench import Bench, NewPart
from service.jobs.desk import Desk
from service.jobs.files import FolderFiles
from service.jobs.records import Attachment, JobState, PartState
from service.jobs.sql_store import SqlStore
from service.jobs.store import JobStore
from service.jobs.worker import Worker
from service.measures import Measures
from tests.service.jobs.job_builders import DIGEST, a_wish, claimed


class _Says:
    """An engine that always says the same, after a report that is none."""

    slots = 1

    def __init__(self, answer: bytes) -> None:
        self._answer = answer

    def run(self, call: Call, stop: Stop, report: Report) -> Outcome:
        report(b"no progress")
        return Answered(self._answer)

    def close(self) -> None:
        pass


@pytest.mark.parametrize(
    "answer", [b"", b"garbage", b'{"group": 2}\n{}', b"{}\n", b'{"findings": 3}\n[1]', b'{"name": 1}\nx']
)
def test_a_part_whose_answer_is_nonsense_fails_and_is_not_tried_for_ever(
    store: JobStore, tmp_path: Path, answer: bytes
) -> None:
    files = FolderFiles(tmp_path / "files")
    digest = files.put(b"label,width,height\n")
    desk, bench = Desk(store), Bench(store)
    job = desk.accept(replace(a_wish(), upload=Attachment(name="a.csv", digest=digest, size=19)))
    worker = Worker(bench, files, _Says(answer), Allowance(), Measures())
    worker.do(claimed(bench), threading.Event(), threading.Event())
    view = desk.view("shop", job.id)
    assert (view.job.state, view.parts[0].state) == (JobState.FAILED, PartState.FAILED)
    assert "the service's own fault" in view.job.trouble


@pytest.mark.parametrize("database", ["sqlite", "postgresql"])
def test_what_a_database_cannot_keep_is_no_outage(
    request: pytest.FixtureRequest, tmp_path: Path, database: str
) -> None:
    """A NUL character in a name is more than PostgreSQL keeps; taken for an outage it would be tried for ever."""
    sqlite = f"sqlite:///{tmp_path / 'jobs.sqlite3'}"
    store = SqlStore(sqlite if database == "sqlite" else request.getfixturevalue("fresh_postgresql"))
    bench, desk = Bench(store), Desk(store)
    job = desk.accept(a_wish(name="a.csv", key="k"))
    part = NewPart(name="rails nul\x00", payload=DIGEST, weight=1)
    claim = claimed(bench)
    if database == "postgresql":
        with pytest.raises(UnstorableError):
            bench.checked(claim, (), DIGEST, [part])
    with pytest.raises(UnknownJobError):
        desk.view("shop", f"{job.id}\x00")
    with pytest.raises(UnstorableError):
        store.change(lambda ledger: ledger.add_job(job))
    store.close()


def test_a_name_is_kept_without_what_cannot_be_printed(store: JobStore) -> None:
    named = replace(a_wish(), settings=JobSettings(name="Block\x00 A\n"))
    assert Desk(store).accept(named).name == "Block A"
