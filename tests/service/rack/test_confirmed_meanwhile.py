"""A leftover that is confirmed while its job is being revised: the revision is made again, knowing of it."""

from __future__ import annotations

import threading
from collections.abc import Callable
from pathlib import Path

from service.engine.asking import DIFFERENCE, PROBLEM, RACK, Allowance
from service.engine.bundle import pack, unpack
from service.engine.calls import Answered, Call, Outcome, Report, Stop
from service.jobs.bench import Bench
from service.jobs.desk import Desk
from service.jobs.files import FolderFiles
from service.jobs.following import Follow, FollowDesk
from service.jobs.records import JobKind, JobState
from service.jobs.sql_store import SqlStore
from service.jobs.worker import Worker
from service.leftovers.records import NewPiece, RackPiece
from service.leftovers.settlement import Settlement
from service.measures import Measures
from service.rack.rack import Rack
from service.record_json import from_json, to_json
from solver.lengths import inches
from tests.service.jobs.job_builders import DIGEST, claimed, solve_all, solving_job

OFFCUT = NewPiece(profile="5/16", colour="white", length=inches(40), label="K1.3")


class Planner:
    """An engine whose revisions cut every own leftover that is not handed over; ``before_answer`` runs first."""

    slots = 1

    def __init__(self, before_answer: Callable[[], object]) -> None:
        self._before_answer = before_answer
        self.asked: list[list[str]] = []

    def run(self, call: Call, stop: Stop, report: Report) -> Outcome:
        del stop, report
        handed_over: tuple[RackPiece, ...] = from_json(tuple[RackPiece, ...], unpack(call.payload)["handed_over"])
        self.asked.append([piece.id for piece in handed_over])
        self._before_answer()
        meant = Settlement(struck=tuple(piece.id for piece in handed_over))
        return Answered(pack({PROBLEM: b"{}", DIFFERENCE: b'{"revision": 1}', RACK: to_json(Settlement, meant)}))

    def close(self) -> None:
        pass


def test_a_leftover_confirmed_meanwhile_is_in_no_plan_that_is_committed(url: str, rack: Rack, tmp_path: Path) -> None:
    store, files = SqlStore(url), FolderFiles(tmp_path / "files")
    desk, bench, follow = Desk(store), Bench(store), FollowDesk(store)
    job = solving_job(desk, bench, 1)
    solve_all(bench, 1)
    bench.assembled(claimed(bench), DIGEST, ())
    bench.papers_written(claimed(bench), ())
    rack.settle("shop", job.id, Settlement(left=(OFFCUT,)))
    confirmed: list[RackPiece] = []

    def measured_once() -> None:
        if not confirmed:
            confirmed.extend(rack.confirm("shop", {"K1.3": inches(39, 7, 8)}))

    engine = Planner(measured_once)
    worker = Worker(bench, files, engine, Allowance(), Measures(), rack)
    asked = files.put(pack({"revision": b"", "events": b"[]", "price": b"0"}))
    wish = Follow(
        tenant="shop", parent=job.id, kind=JobKind.REVISION, name="next revision", payload=asked, settings=job.settings
    )
    revision = follow.accept(wish)
    for state in (JobState.SOLVING, JobState.DONE):
        worker.do(claimed(bench), threading.Event(), threading.Event())
        assert desk.job("shop", revision.id).state is state
    assert engine.asked == [[], [confirmed[0].id]]
    assert rack.at_hand("shop") == confirmed
    store.close()
