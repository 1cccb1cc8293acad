"""A clock that jumps loses nothing and commits nothing twice."""

from pathlib import Path

import pytest

from service.errors import StaleClaimError
from service.jobs.bench import Bench
from service.jobs.desk import Desk
from service.jobs.sql_store import SqlStore
from tests.service.jobs.job_builders import DIGEST, claimed, solving_job


class _Clock:
    def __init__(self) -> None:
        self.now = 1_790_000_000.0

    def __call__(self) -> float:
        return self.now


@pytest.mark.parametrize("jump", [3_600.0, -3_600.0, 86_400.0 * 365, -86_400.0 * 365])
def test_a_part_in_hand_when_the_clock_jumps_is_committed_once(tmp_path: Path, jump: float) -> None:
    clock = _Clock()
    store = SqlStore(f"sqlite:///{tmp_path / 'jobs.sqlite3'}", clock)
    desk, bench = Desk(store), Bench(store)
    job = solving_job(desk, bench, parts=1)
    first = claimed(bench)
    clock.now += jump
    assert bench.requeue_expired() == 1, "its lease ended long ago, or ends in an impossible future"
    second = claimed(bench)
    with pytest.raises(StaleClaimError):
        bench.solved(first, DIGEST)
    bench.solved(second, DIGEST)
    bench.assembled(claimed(bench), DIGEST, ())
    bench.papers_written(claimed(bench), ())
    assert desk.job("shop", job.id).state.value == "done"
    store.close()


def test_a_pause_that_the_clock_jumped_away_from_is_not_kept(tmp_path: Path) -> None:
    clock = _Clock()
    store = SqlStore(f"sqlite:///{tmp_path / 'jobs.sqlite3'}", clock)
    bench = Bench(store)
    solving_job(Desk(store), bench, parts=1)
    bench.given_back(claimed(bench), blameless=False)
    clock.now -= 86_400
    assert bench.claim("worker") is None
    bench.requeue_expired()
    assert claimed(bench).part.deliveries == 2
    store.close()
