"""Revisions and questions among the jobs, and a job that lost its leftovers to another, the same on every store."""

import pytest

from service.errors import MoveError
from service.job_settings import JobSettings
from service.jobs.bench import Bench
from service.jobs.desk import Desk
from service.jobs.following import Follow, FollowDesk
from service.jobs.records import Attachment, Job, JobKind, JobState, Task
from service.jobs.store import JobStore
from tests.service.jobs.job_builders import DIGEST, claimed, new_parts, solve_all, solving_job

PLAN = [Attachment(name="plan.json", digest=DIGEST, size=3)]


@pytest.fixture
def desk(store: JobStore) -> Desk:
    return Desk(store)


@pytest.fixture
def bench(store: JobStore) -> Bench:
    return Bench(store, lease_seconds=15)


@pytest.fixture
def follow(store: JobStore) -> FollowDesk:
    return FollowDesk(store)


@pytest.fixture
def planned(desk: Desk, bench: Bench) -> Job:
    job = solving_job(desk, bench, 2)
    solve_all(bench, 2)
    bench.assembled(claimed(bench), DIGEST, PLAN)
    bench.papers_written(claimed(bench), ())
    return desk.job("shop", job.id)


def wish(parent: Job, kind: JobKind = JobKind.REVISION, payload: str = DIGEST) -> Follow:
    return Follow(
        tenant="shop", parent=parent.id, kind=kind, name="next revision", payload=payload, settings=JobSettings()
    )


def revised(follow: FollowDesk, bench: Bench, parent: Job) -> Job:
    job = follow.accept(wish(parent))
    claim = claimed(bench)
    assert (claim.part.job, claim.part.task, claim.job.state) == (job.id, Task.REVISE, JobState.SOLVING)
    bench.finished(claim, DIGEST, PLAN, "block A, revision 1")
    return follow.chain("shop", job.id)[-1]


def test_a_revision_is_done_in_one_part_and_joins_the_chain(follow: FollowDesk, bench: Bench, planned: Job) -> None:
    now = revised(follow, bench, planned)
    assert (now.state, now.parent, now.chain, now.name) == (
        JobState.DONE,
        planned.id,
        planned.id,
        "block A, revision 1",
    )
    further = revised(follow, bench, now)
    assert (further.parent, further.chain) == (now.id, planned.id)
    assert [job.id for job in follow.chain("shop", planned.id)] == [planned.id, now.id, further.id]


def test_a_plan_has_one_next_revision(follow: FollowDesk, bench: Bench, planned: Job) -> None:
    now = revised(follow, bench, planned)
    with pytest.raises(MoveError, match="revised already; go on from block A, revision 1"):
        follow.accept(wish(planned, payload="cd" * 32))
    assert follow.accept(wish(planned, JobKind.QUESTION)).parent == planned.id
    back, parent = follow.take_back("shop", now.id)
    assert (back.state, parent.id) == (JobState.CANCELLED, planned.id)
    assert [job.id for job in follow.chain("shop", planned.id)] == [planned.id]


def test_only_the_latest_revision_is_taken_back(follow: FollowDesk, bench: Bench, planned: Job) -> None:
    now = revised(follow, bench, planned)
    revised(follow, bench, now)
    with pytest.raises(MoveError, match="revised already"):
        follow.take_back("shop", now.id)
    with pytest.raises(MoveError, match="only a finished revision"):
        follow.take_back("shop", planned.id)


def test_a_job_that_lost_a_leftover_is_checked_and_planned_again(desk: Desk, bench: Bench) -> None:
    job = solving_job(desk, bench, 2)
    solve_all(bench, 2)
    bench.beaten(claimed(bench))
    assert desk.job("shop", job.id).state is JobState.QUEUED
    assert bench.rounds(job.id) == 1
    check = claimed(bench)
    assert check.part.task is Task.CHECK
    bench.checked(check, (), DIGEST, new_parts(1))
    solve_all(bench, 1)
    # Only what was solved since the last check is put together.
    assert len(bench.answers(job.id)) == 1
    bench.assembled(claimed(bench), DIGEST, PLAN)
    bench.papers_written(claimed(bench), ())
    assert desk.job("shop", job.id).state is JobState.DONE
