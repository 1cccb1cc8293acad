"""Two jobs that want the same leftover at the same moment never both get it."""

from __future__ import annotations

import subprocess
import sys
import threading
from collections import Counter
from concurrent.futures import ThreadPoolExecutor

import pytest

from service.errors import PieceTakenError, RackFullError
from service.leftovers.records import NewPiece, PieceState, RackRules, Search
from service.rack.rack import Rack
from solver.lengths import inches

JOBS = 6


def pieces(count: int) -> list[NewPiece]:
    return [NewPiece(profile="5/16", colour="white", length=inches(20 + number)) for number in range(count)]


@pytest.mark.slow
def test_of_many_jobs_racing_for_one_piece_exactly_one_gets_it(rack: Rack, url: str) -> None:
    # Every job has its own connections, as workers on several machines have.
    racks = [Rack(url) for _ in range(JOBS)]
    with ThreadPoolExecutor(max_workers=JOBS) as threads:
        for _ in range(10):
            wanted = rack.add("we", pieces(1))[0].id
            start = threading.Barrier(JOBS)

            def race(number: int, wanted: str = wanted, start: threading.Barrier = start) -> bool:
                start.wait()
                try:
                    racks[number].reserve("we", f"job {number}", [wanted])
                except PieceTakenError:
                    return False
                return True

            assert sum(threads.map(race, range(JOBS))) == 1
    for each in racks:
        each.close()


@pytest.mark.slow
def test_jobs_that_want_overlapping_piles_get_whole_piles_or_nothing(rack: Rack, url: str) -> None:
    ids = [piece.id for piece in rack.add("we", pieces(8))]
    piles = [ids[number : number + 4] for number in range(5)]
    racks = [Rack(url) for _ in piles]
    start = threading.Barrier(len(piles))

    def race(number: int) -> bool:
        start.wait()
        try:
            # Asked for back to front, so that careless locking would deadlock.
            racks[number].reserve("we", f"job {number}", piles[number][:: -1 if number % 2 else 1])
        except PieceTakenError:
            return False
        return True

    with ThreadPoolExecutor(max_workers=len(piles)) as threads:
        got = list(threads.map(race, range(len(piles))))
    for each in racks:
        each.close()
    owners = Counter(piece.job for piece in rack.search("we", Search(state=PieceState.RESERVED)))
    assert sum(got) >= 1
    assert owners == {f"job {number}": 4 for number, won in enumerate(got) if won}


_RACER = """
import sys
from service.errors import PieceTakenError
from service.rack.rack import Rack
rack = Rack(sys.argv[1])
won = []
sys.stdin.readline()
for piece in sys.argv[3:]:
    try:
        rack.reserve("we", sys.argv[2], [piece])
        won.append(piece)
    except PieceTakenError:
        pass
print(" ".join(won))
"""


@pytest.mark.slow
def test_two_processes_share_out_the_rack_without_overlap(rack: Rack, url: str) -> None:
    ids = [piece.id for piece in rack.add("we", pieces(12))]
    racers = [
        subprocess.Popen(
            [sys.executable, "-c", _RACER, url, f"job {number}", *ids],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )
        for number in range(2)
    ]
    for racer in racers:
        assert racer.stdin is not None
        racer.stdin.write("go\n")
        racer.stdin.flush()
    won = [racer.communicate(timeout=60)[0].split() for racer in racers]
    assert sorted(won[0] + won[1]) == sorted(ids)


@pytest.mark.slow
def test_the_growth_limit_holds_when_several_add_at_once(rack: Rack, url: str) -> None:
    rack.set_rules("we", RackRules(most_pieces=3))
    racks = [Rack(url) for _ in range(JOBS)]
    start = threading.Barrier(JOBS)

    def add(number: int) -> bool:
        start.wait()
        try:
            racks[number].add("we", pieces(1))
        except RackFullError:
            return False
        return True

    with ThreadPoolExecutor(max_workers=JOBS) as threads:
        assert sum(threads.map(add, range(JOBS))) == 3
    for each in racks:
        each.close()
