"""What a job goes through, the same on every store."""

import time
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace

import pytest

from service.errors import KeyReusedError, MoveError, QueueFullError, StaleClaimError, UnknownJobError
from service.jobs.bench import Bench
from service.jobs.desk import Desk
from service.jobs.records import Attachment, JobState, PartState
from service.jobs.store import JobStore, PageStart
from tests.service.jobs.job_builders import (
    DIGEST,
    a_wish,
    claimed,
    error,
    names,
    new_parts,
    question,
    solve_all,
    solving_job,
)


@pytest.fixture
def desk(store: JobStore) -> Desk:
    return Desk(store)


@pytest.fixture
def bench(store: JobStore) -> Bench:
    return Bench(store, lease_seconds=15)


def test_a_job_goes_from_queued_to_done(desk: Desk, bench: Bench) -> None:
    job = desk.accept(a_wish())
    assert job.state is JobState.QUEUED
    check = claimed(bench)
    assert desk.job("shop", job.id).state is JobState.CHECKING
    bench.checked(check, (), DIGEST, new_parts(2))
    assert desk.job("shop", job.id).state is JobState.SOLVING
    solve_all(bench, 2)
    bench.assembled(claimed(bench), DIGEST, [Attachment(name="plan.json", digest=DIGEST, size=3)])
    bench.papers_written(claimed(bench), ())
    done = desk.job("shop", job.id)
    assert done.state is JobState.DONE
    assert [document.name for document in done.documents] == ["plan.json"]
    assert bench.claim("worker") is None


def test_what_was_said_about_a_job_is_kept_exactly(desk: Desk) -> None:
    wish = a_wish(unit="mm", rules={"kerf": "3 mm"}, seconds=12.5)
    job = desk.accept(wish)
    assert desk.job("shop", job.id) == job
    assert job.settings == wish.settings
    assert job.upload == wish.upload


def test_a_part_is_handed_out_once(desk: Desk, bench: Bench) -> None:
    desk.accept(a_wish())
    claimed(bench)
    assert bench.claim("another worker") is None


def test_many_workers_at_once_never_get_the_same_part(desk: Desk, bench: Bench) -> None:
    solving_job(desk, bench, parts=40)
    with ThreadPoolExecutor(8) as threads:
        claims = [claim for claim in threads.map(lambda n: bench.claim(f"w{n}"), range(60)) if claim is not None]
    assert sorted(names(claims)) == sorted(f"rails {number}" for number in range(40))


def test_a_part_whose_worker_fell_silent_is_handed_out_again(store: JobStore, desk: Desk) -> None:
    brief = Bench(store, lease_seconds=0.05)
    desk.accept(a_wish())
    first = claimed(brief)
    time.sleep(0.1)
    assert brief.requeue_expired() == 1
    second = claimed(brief)
    assert (second.part.id, second.fence, second.part.deliveries) == (first.part.id, first.fence + 1, 2)


def test_a_lease_that_lies_impossibly_far_ahead_has_run_out(store: JobStore, desk: Desk, bench: Bench) -> None:
    """As after a clock that was an hour fast has been put right."""
    desk.accept(a_wish())
    ahead = replace(claimed(bench).part, leased_until=time.time() + 3_600)
    store.change(lambda ledger: ledger.save_part(ahead))
    assert bench.requeue_expired() == 1


def test_a_lease_that_is_renewed_does_not_run_out(store: JobStore, desk: Desk) -> None:
    brief = Bench(store, lease_seconds=0.2)
    desk.accept(a_wish())
    claim = claimed(brief)
    time.sleep(0.15)
    assert brief.renew(claim)
    time.sleep(0.1)
    assert brief.requeue_expired() == 0


def test_only_the_latest_holder_of_a_part_can_commit(store: JobStore, desk: Desk) -> None:
    brief = Bench(store, lease_seconds=0.05)
    solving_job(desk, brief, parts=1)
    sleeper = claimed(brief)
    time.sleep(0.1)
    brief.requeue_expired()
    second = claimed(brief)
    with pytest.raises(StaleClaimError):
        brief.solved(sleeper, DIGEST)
    assert not brief.renew(sleeper)
    assert brief.lost([sleeper, second]) == {sleeper.part.id}
    brief.solved(second, DIGEST)
    with pytest.raises(StaleClaimError):
        brief.solved(second, DIGEST)


def test_the_plan_is_assembled_once_after_the_last_part(desk: Desk, bench: Bench) -> None:
    job = solving_job(desk, bench, parts=8)
    claims = [claimed(bench) for _ in range(8)]
    with ThreadPoolExecutor(8) as threads:
        list(threads.map(lambda claim: bench.solved(claim, DIGEST), claims))
    tasks = [part.name for part in desk.view("shop", job.id).parts]
    assert tasks.count("assemble") == 1


def test_a_part_fails_at_its_third_crash_and_is_named(desk: Desk, bench: Bench, store: JobStore) -> None:
    job = solving_job(desk, bench, parts=2)
    poison = "rails 0"
    for crash in range(1, 4):
        claim = _claim_named(store, bench, poison)
        assert bench.crashed(claim, "its process died") is (crash == 3)
    failed = desk.job("shop", job.id)
    assert (failed.state, failed.trouble) == (JobState.FAILED, "rails 0: its process died (tried 3 times)")
    assert {part.name: part.state for part in desk.view("shop", job.id).parts}["rails 1"] is PartState.CANCELLED


def test_an_outage_is_never_blamed_on_a_part(desk: Desk, bench: Bench, store: JobStore) -> None:
    solving_job(desk, bench, parts=1)
    for _ in range(20):
        bench.given_back(_claim_named(store, bench, "rails 0"), blameless=False)
    part = _claim_named(store, bench, "rails 0").part
    assert (part.crashes, part.deliveries) == (0, 21)


def test_a_cancelled_job_gives_nothing_more_to_do(desk: Desk, bench: Bench) -> None:
    job = solving_job(desk, bench, parts=3)
    running = claimed(bench)
    assert desk.cancel("shop", job.id).state is JobState.CANCELLED
    assert bench.claim("worker") is None
    assert bench.lost([running]) == {running.part.id}
    with pytest.raises(StaleClaimError):
        bench.solved(running, DIGEST)
    assert desk.cancel("shop", job.id).state is JobState.CANCELLED


def test_a_job_that_is_done_cannot_be_cancelled(desk: Desk, bench: Bench) -> None:
    job = solving_job(desk, bench, parts=1)
    solve_all(bench, 1)
    bench.assembled(claimed(bench), DIGEST, ())
    bench.papers_written(claimed(bench), ())
    with pytest.raises(MoveError, match="a job that is done cannot become cancelled"):
        desk.cancel("shop", job.id)


def test_errors_fail_a_job_and_are_listed(desk: Desk, bench: Bench) -> None:
    job = desk.accept(a_wish())
    bench.refused(claimed(bench), (error(), question()))
    failed = desk.job("shop", job.id)
    assert (failed.state, failed.findings) == (JobState.FAILED, (error(), question()))


def test_open_questions_alone_make_a_job_wait_for_answers(desk: Desk, bench: Bench) -> None:
    job = desk.accept(a_wish())
    bench.refused(claimed(bench), (question(),))
    assert desk.job("shop", job.id).state is JobState.WAITING
    assert bench.claim("worker") is None
    with pytest.raises(MoveError, match="no open question in openings!Z9"):
        desk.answer("shop", job.id, {"openings!Z9": "1"}, accept_proposals=False)
    desk.answer("shop", job.id, {"openings!C7": "3/8"}, accept_proposals=False)
    again = claimed(bench)
    assert again.job.settings.answers == {"openings!C7": "3/8"}
    bench.checked(again, (), DIGEST, new_parts(1))
    assert desk.job("shop", job.id).state is JobState.SOLVING


def test_findings_of_a_hopeless_file_are_cut_to_the_gravest(desk: Desk, bench: Bench) -> None:
    job = desk.accept(a_wish())
    bench.refused(claimed(bench), [question("C7")] * 1_500 + [error(f"C{row}") for row in range(400)])
    kept = desk.job("shop", job.id).findings
    assert len(kept) == 1_000
    assert kept[0] == error("C0")
    assert kept[-1].message == "901 more findings are not listed; mend these first"


def test_the_same_key_and_request_give_the_same_job(desk: Desk) -> None:
    first = desk.accept(a_wish(key="order 12"))
    assert desk.accept(a_wish(key="order 12")) == first
    assert desk.accept(a_wish(key="order 12", tenant="other shop")).id != first.id
    with pytest.raises(KeyReusedError):
        desk.accept(a_wish(key="order 12", unit="mm"))


def test_the_same_key_used_many_times_at_once_gives_one_job(desk: Desk) -> None:
    with ThreadPoolExecutor(8) as threads:
        jobs = set(threads.map(lambda _: desk.accept(a_wish(key="order 12")).id, range(24)))
    assert len(jobs) == 1
    assert len(desk.jobs("shop")) == 1


def test_a_tenant_sees_its_own_jobs_only(desk: Desk) -> None:
    job = desk.accept(a_wish("shop"))
    assert desk.jobs("other shop") == []
    for attempt in (desk.job, desk.view, desk.cancel):
        with pytest.raises(UnknownJobError):
            attempt("other shop", job.id)
    with pytest.raises(UnknownJobError):
        desk.job("shop", "no such job")


def test_pages_lead_through_all_jobs_newest_first(desk: Desk) -> None:
    accepted = [desk.accept(a_wish()).id for _ in range(7)]
    seen: list[str] = []
    start = None
    while page := desk.jobs("shop", start=start, limit=3):
        seen += [job.id for job in page]
        start = PageStart(created=page[-1].created, id=page[-1].id)
    assert sorted(seen) == sorted(accepted)
    assert len(set(seen)) == 7
    assert desk.jobs("shop", state=JobState.DONE) == []


def test_a_full_queue_refuses_the_next_job_of_that_tenant_alone(store: JobStore) -> None:
    desk = Desk(store, queue_cap=2)
    desk.accept(a_wish())
    desk.accept(a_wish())
    with pytest.raises(QueueFullError):
        desk.accept(a_wish())
    desk.accept(a_wish("other shop"))


def test_every_visible_change_makes_a_new_version(desk: Desk, bench: Bench) -> None:
    job = solving_job(desk, bench, parts=1)
    versions = [desk.job("shop", job.id).version]
    claim = claimed(bench)
    versions.append(desk.job("shop", job.id).version)
    bench.progress(claim, 2**70, 2**69)
    versions.append(desk.job("shop", job.id).version)
    assert versions == sorted(set(versions))
    part = desk.view("shop", job.id).parts[1]
    assert (part.cost, part.bound) == (2**70, 2**69)


def test_a_change_that_fails_leaves_nothing_behind(store: JobStore, desk: Desk) -> None:
    job = desk.accept(a_wish())

    def work(ledger: object) -> None:
        ledger.remove_job(job.id)  # type: ignore[attr-defined]
        raise RuntimeError("power cut")

    with pytest.raises(RuntimeError, match="power cut"):
        store.change(work)
    assert desk.job("shop", job.id) == job


def _claim_named(store: JobStore, bench: Bench, name: str):  # type: ignore[no-untyped-def]
    """Claim the one part with that name, whatever its turn and delay."""

    def first_in_line(ledger) -> None:  # type: ignore[no-untyped-def]
        job = next(iter(ledger.jobs("shop", list(JobState), None, 1)))
        part = next(part for part in ledger.parts(job.id) if part.name == name)
        ledger.save_part(replace(part, turn=-1, not_before=0.0))

    store.change(first_in_line)
    return claimed(bench)
