"""A process that dies between the commit of a plan and its settlement loses the rack nothing: the sweep settles it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from service.engine.asking import RACK
from service.jobs.bench import Bench
from service.jobs.desk import Desk
from service.jobs.files import FolderFiles
from service.jobs.following import FollowDesk
from service.jobs.records import Attachment, Job
from service.jobs.sql_store import SqlStore
from service.jobs.sweep import Sweep
from service.leftovers.records import NewPiece, PieceState, Search
from service.leftovers.settlement import Settlement
from service.rack.rack import Rack
from service.record_json import to_json
from solver.lengths import Ticks, inches
from tests.service.jobs.job_builders import DIGEST, claimed, solve_all, solving_job
from tests.service.jobs.test_following import wish

SHOP = "shop"


def left(*lengths: Ticks) -> Settlement:
    return Settlement(left=tuple(NewPiece(profile="5/16", colour="white", length=length) for length in lengths))


class Shop:
    """A store, its files and its rack, with a sweep that waits for nobody."""

    def __init__(self, url: str, rack: Rack, folder: Path) -> None:
        self.store, self.rack, self.files = SqlStore(url), rack, FolderFiles(folder / "files")
        self.desk, self.bench, self.follow = Desk(self.store), Bench(self.store), FollowDesk(self.store)
        self.sweep = Sweep(self.store, self.files, self.bench, leftovers=rack)

    def document(self, settlement: Settlement) -> Attachment:
        content = to_json(Settlement, settlement)
        return Attachment(name=RACK, digest=self.files.put(content), size=len(content))

    def planned(self, settlement: Settlement) -> Job:
        job = solving_job(self.desk, self.bench, 1)
        solve_all(self.bench, 1)
        self.rack.promise(SHOP, job.id, settlement, first=True)
        self.bench.assembled(claimed(self.bench), DIGEST, [self.document(settlement)])
        self.bench.papers_written(claimed(self.bench), ())
        return self.desk.job(SHOP, job.id)

    def expected(self) -> list[Ticks]:
        return [piece.length for piece in self.rack.search(SHOP, Search(state=PieceState.EXPECTED))]


@pytest.fixture
def shop(url: str, rack: Rack, tmp_path: Path) -> Iterator[Shop]:
    opened = Shop(url, rack, tmp_path)
    yield opened
    opened.store.close()


def test_a_plan_that_was_committed_and_not_settled_is_settled_by_the_sweep(shop: Shop) -> None:
    shop.planned(left(inches(40)))
    assert shop.expected() == []
    assert shop.sweep.settle_forgotten(-1) == 1
    assert shop.expected() == [inches(40)]
    assert shop.sweep.settle_forgotten(-1) == 0


def test_a_revision_under_way_is_left_alone_and_one_that_fell_through_gives_way_to_the_plan_before(shop: Shop) -> None:
    first = shop.planned(left(inches(40), inches(50)))
    shop.sweep.settle_forgotten(-1)
    revision = shop.follow.accept(wish(first))
    claimed(shop.bench)
    shop.rack.promise(SHOP, first.id, left(inches(40)))
    assert shop.sweep.settle_forgotten(-1) == 0
    assert shop.expected() == [inches(40)]
    shop.desk.cancel(SHOP, revision.id)
    assert shop.sweep.settle_forgotten(-1) == 1
    assert shop.expected() == [inches(40), inches(50)]


def test_a_job_that_fell_through_keeps_nothing(shop: Shop) -> None:
    job = solving_job(shop.desk, shop.bench, 1)
    (piece,) = shop.rack.add(SHOP, [NewPiece(profile="5/16", colour="white", length=inches(60))])
    shop.rack.promise(SHOP, job.id, replace(left(inches(40)), taken=(piece.id,)), first=True)
    shop.desk.cancel(SHOP, job.id)
    assert shop.sweep.settle_forgotten(-1) == 1
    assert [one.id for one in shop.rack.at_hand(SHOP)] == [piece.id]


def test_a_plan_from_the_command_line_is_no_job_and_its_promise_is_dropped(shop: Shop) -> None:
    shop.rack.promise(SHOP, "order 4711", left(inches(40)))
    assert shop.sweep.settle_forgotten(-1) == 0
    assert shop.rack.unsettled(-1) == []
