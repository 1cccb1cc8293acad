"""What lies on the rack is measured, found, promised once, and thrown away by rule."""

from __future__ import annotations

from dataclasses import replace

import pytest

from service.errors import PieceTakenError, RackFullError, UnknownPieceError
from service.job_settings import JobSettings
from service.jobs.records import Attachment, Job, JobState
from service.jobs.sql_store import SqlStore
from service.leftovers.records import NewPiece, PieceState, RackRules, Search
from service.leftovers.settlement import Settlement
from service.rack.rack import Rack
from solver.lengths import Ticks, inches

US, THEM = "we", "they"


def stick(length: Ticks, **other: str) -> NewPiece:
    return NewPiece(**{"profile": "5/16", "colour": "white", "length": length, **other})  # type: ignore[arg-type]


def mesh(width: Ticks, length: Ticks) -> NewPiece:
    return NewPiece(mesh="glass 18x16", width=width, length=length)


def test_the_shortest_piece_that_is_long_enough_comes_first(rack: Rack) -> None:
    rack.add(US, [stick(inches(60)), stick(inches(30)), stick(inches(41, 3, 8)), mesh(inches(48), inches(100))])
    found = rack.search(US, Search(profile="5/16", colour="white", least_length=inches(40)))
    assert [piece.length for piece in found] == [inches(41, 3, 8), inches(60)]
    assert rack.search(US, Search(mesh="glass 18x16", least_width=inches(60))) == []


def test_a_search_goes_on_behind_the_last_piece(rack: Rack) -> None:
    rack.add(US, [stick(inches(30)) for _ in range(5)])
    first = rack.search(US, Search(limit=3))
    rest = rack.search(US, Search(limit=3, after=(first[-1].length, first[-1].id)))
    assert (len(first), len(rest)) == (3, 2)
    assert {piece.id for piece in first}.isdisjoint(piece.id for piece in rest)


def test_tenants_do_not_see_each_others_racks(rack: Rack) -> None:
    mine = rack.add(US, [stick(inches(30))])
    assert rack.search(THEM, Search()) == []
    with pytest.raises(UnknownPieceError):
        rack.reserve(THEM, "job 1", [mine[0].id])


def test_what_a_plan_leaves_over_is_no_stock_before_it_is_measured(rack: Rack) -> None:
    expected = rack.expect(US, "job 1", [stick(inches(50)), stick(inches(32))])
    assert rack.search(US, Search()) == []
    confirmed = rack.confirm(US, {expected[0].id: inches(49, 7, 8)})
    assert [(piece.length, piece.state) for piece in confirmed] == [(inches(49, 7, 8), PieceState.FREE)]
    assert [piece.length for piece in rack.search(US, Search())] == [inches(49, 7, 8)]


def test_a_piece_that_is_not_there_or_too_short_is_scrapped_when_measured(rack: Rack) -> None:
    expected = rack.expect(US, "job 1", [stick(inches(50)), stick(inches(32))])
    measured = rack.confirm(US, {expected[0].id: Ticks(0), expected[1].id: inches(11)})
    assert {piece.state for piece in measured} == {PieceState.SCRAPPED}


def test_a_piece_is_measured_once(rack: Rack) -> None:
    expected = rack.expect(US, "job 1", [stick(inches(50))])
    rack.confirm(US, {expected[0].id: inches(50)})
    with pytest.raises(PieceTakenError, match="free"):
        rack.confirm(US, {expected[0].id: inches(40)})


def test_a_revised_plan_replaces_what_the_job_was_to_leave_over(rack: Rack) -> None:
    rack.expect(US, "job 1", [stick(inches(50)), stick(inches(32))])
    rack.expect(US, "job 1", [stick(inches(20))])
    assert [p.length for p in rack.search(US, Search(state=PieceState.EXPECTED))] == [inches(20)]


def test_pieces_are_promised_all_or_none(rack: Rack) -> None:
    one, two, three = rack.add(US, [stick(inches(30)), stick(inches(40)), stick(inches(50))])
    rack.reserve(US, "job 1", [two.id])
    with pytest.raises(PieceTakenError, match=rf"{two.id} \(reserved by job 1\); nothing was changed"):
        rack.reserve(US, "job 2", [one.id, two.id, three.id])
    assert {piece.id for piece in rack.search(US, Search())} == {one.id, three.id}


def test_what_a_job_has_stays_with_it_when_it_asks_again(rack: Rack) -> None:
    one, two = rack.add(US, [stick(inches(30)), stick(inches(40))])
    rack.reserve(US, "job 1", [one.id])
    assert {piece.job for piece in rack.reserve(US, "job 1", [one.id, two.id])} == {"job 1"}


def test_a_cancelled_job_gives_back_what_it_had(rack: Rack) -> None:
    one = rack.add(US, [stick(inches(30))])[0]
    rack.reserve(US, "job 1", [one.id])
    rack.expect(US, "job 1", [stick(inches(20))])
    assert [piece.id for piece in rack.release(US, "job 1")] == [one.id]
    assert rack.search(US, Search(state=PieceState.EXPECTED)) == []
    assert rack.reserve(US, "job 2", [one.id])[0].job == "job 2"


def test_a_job_of_the_service_that_is_cancelled_needs_nobody_to_release_for_it(rack: Rack, url: str) -> None:
    store = SqlStore(url)
    upload = Attachment(name="a.xlsx", digest="0" * 64, size=1)
    job = Job(id="j1", tenant=US, name="a", settings=JobSettings(), upload=upload, created=1.0, changed=1.0)
    store.change(lambda ledger: ledger.add_job(job))
    one = rack.add(US, [stick(inches(30))])[0]
    rack.reserve(US, "j1", [one.id])
    assert rack.search(US, Search()) == []
    store.change(lambda ledger: ledger.save_job(replace(job, state=JobState.CANCELLED)))
    store.close()
    assert [piece.id for piece in rack.search(US, Search())] == [one.id]


def test_what_is_cut_is_gone_for_good(rack: Rack) -> None:
    one, two = rack.add(US, [stick(inches(30)), stick(inches(40))])
    rack.reserve(US, "job 1", [one.id, two.id])
    assert [piece.id for piece in rack.use(US, "job 1", [one.id])] == [one.id]
    assert [piece.id for piece in rack.release(US, "job 1")] == [two.id]
    with pytest.raises(PieceTakenError, match="used by job 1"):
        rack.reserve(US, "job 2", [one.id])


def test_a_promised_piece_is_not_thrown_away(rack: Rack) -> None:
    one = rack.add(US, [stick(inches(30))])[0]
    rack.reserve(US, "job 1", [one.id])
    with pytest.raises(PieceTakenError):
        rack.scrap(US, [one.id])


def test_pieces_under_the_least_useful_size_do_not_come_on_the_rack(rack: Rack) -> None:
    kept = rack.add(US, [stick(inches(11)), stick(inches(12)), mesh(inches(17), inches(90))])
    assert [piece.length for piece in kept] == [inches(12)]


def test_the_rack_grows_no_further_than_its_rules_allow(rack: Rack) -> None:
    rack.set_rules(US, RackRules(most_pieces=2))
    rack.add(US, [stick(inches(30)), stick(inches(40))])
    with pytest.raises(RackFullError, match="holds 2 pieces and may hold 2; 1 more do not go on it"):
        rack.add(US, [stick(inches(50))])


def test_stricter_rules_name_what_is_due_for_scrap(rack: Rack) -> None:
    short, long = rack.add(US, [stick(inches(14)), stick(inches(40))])
    assert rack.due_for_scrap(US) == []
    rack.set_rules(US, RackRules(least_stick=inches(18)))
    due = rack.due_for_scrap(US)
    assert [piece.id for piece in due] == [short.id]
    rack.scrap(US, [piece.id for piece in due])
    assert [piece.id for piece in rack.search(US, Search())] == [long.id]


def test_only_old_pieces_are_found_by_age(rack: Rack) -> None:
    rack.add(US, [stick(inches(30))])
    assert rack.search(US, Search(older_than_days=1)) == []
    assert len(rack.search(US, Search(older_than_days=-1))) == 1


def test_the_rack_outlives_its_process(rack: Rack, url: str) -> None:
    one = rack.add(US, [stick(inches(30), place="bay 3")])[0]
    rack.reserve(US, "job 1", [one.id])
    again = Rack(url)
    found = again.search(US, Search(state=PieceState.RESERVED))
    again.close()
    assert [(piece.id, piece.job, piece.place) for piece in found] == [(one.id, "job 1", "bay 3")]


def test_a_confirmed_leftover_remembers_its_job_and_is_not_expected_again(rack: Rack) -> None:
    piece = NewPiece(profile="5/16", colour="white", length=inches(40))
    rack.settle("we", "job", Settlement(left=(piece, piece)))
    first, second = rack.search("we", Search(state=PieceState.EXPECTED))
    (confirmed,) = rack.confirm("we", {first.id: inches(39, 7, 8)})
    assert (confirmed.job, confirmed.origin, confirmed.planned) == ("", "job", inches(40))
    rack.reserve("we", "another", [confirmed.id])
    # The plan still counts both; one of them is on the rack already, whoever has it.
    rack.settle("we", "job", Settlement(left=(piece, piece)))
    assert [one.id for one in rack.search("we", Search(state=PieceState.EXPECTED))] == [second.id]
    # Once the plan has struck it, what it leaves over is more than that.
    rack.settle("we", "job", Settlement(left=(piece, piece), struck=(confirmed.id,)))
    assert len(rack.search("we", Search(state=PieceState.EXPECTED))) == 2
    # A job of the same name that is planned from the start is another one.
    assert [one.id for one in rack.handed_over("we", "job")] == [confirmed.id]
    rack.promise("we", "job", Settlement(), first=True)
    assert rack.handed_over("we", "job") == []


def test_a_plan_that_does_not_know_of_a_confirmed_leftover_is_promised_nothing(rack: Rack) -> None:
    offcut = stick(inches(40), label="K1.3")
    rack.settle(US, "job", Settlement(left=(offcut,)))
    free = rack.add(US, [stick(inches(30))])[0].id
    (confirmed,) = rack.confirm(US, {"K1.3": inches(39, 7, 8)})
    another = stick(inches(40), label="K1.5")
    for plan in (Settlement(taken=(free,)), Settlement(taken=(free,), left=(another,))):
        with pytest.raises(PieceTakenError, match=rf"{confirmed.id} \(K1.3\), confirmed since"):
            rack.promise(US, "job", plan)
    assert free in {piece.id for piece in rack.at_hand(US)}
    # Struck, or left over just as before, it is accounted for.
    rack.promise(US, "job", Settlement(taken=(free,), left=(another,), struck=(confirmed.id,)))
    rack.promise(US, "job", Settlement(taken=(free,), left=(offcut,)))
    rack.promise(US, "job", Settlement(taken=(free,), left=(stick(inches(40)),)))


def test_what_a_promised_plan_does_not_leave_over_cannot_be_confirmed_any_more(rack: Rack) -> None:
    rack.settle(US, "job", Settlement(left=(stick(inches(40), label="K1.3"), stick(inches(50), label="K1.4"))))
    rack.promise(US, "job", Settlement(left=(stick(inches(50), label="K1.4"),)))
    with pytest.raises(UnknownPieceError, match="not on the rack"):
        rack.confirm(US, {"K1.3": inches(40)})
    assert rack.confirm(US, {"K1.4": inches(50)})[0].state is PieceState.FREE


def test_an_expected_leftover_that_is_thrown_away_is_gone_for_its_job_too(rack: Rack) -> None:
    rack.settle(US, "job", Settlement(left=(stick(inches(40), label="K1.3"),)))
    (piece,) = rack.search(US, Search(state=PieceState.EXPECTED))
    rack.scrap(US, [piece.id])
    assert [(one.id, one.planned) for one in rack.handed_over(US, "job")] == [(piece.id, inches(40))]
    rack.settle(US, "job", Settlement(left=(stick(inches(40), label="K1.3"),)))
    assert rack.search(US, Search(state=PieceState.EXPECTED)) == []


def test_a_promise_waits_until_it_is_settled(rack: Rack) -> None:
    rack.promise(US, "job", Settlement())
    rack.promise(US, "job", Settlement())
    assert rack.unsettled(-1) == [(US, "job")]
    assert rack.unsettled(60) == []
    rack.settle(US, "job", Settlement())
    assert rack.unsettled(-1) == []


def test_what_another_job_was_promised_cannot_be_reported_as_cut(rack: Rack) -> None:
    theirs, free, thrown, mine = (rack.add(US, [stick(inches(30 + n))])[0].id for n in range(4))
    rack.reserve(US, "theirs", [theirs])
    rack.reserve(US, "job", [mine])
    rack.scrap(US, [thrown])
    with pytest.raises(PieceTakenError, match=f"{theirs} \\(reserved by theirs\\)"):
        rack.promise(US, "job", Settlement(begun=(theirs, mine)))
    # What lies free is the job's once it is cut, and what was thrown away was nobody's.
    rack.promise(US, "job", Settlement(begun=(free, thrown, mine)))
    rack.settle(US, "job", Settlement(begun=(free, thrown, mine)))
    used = rack.search(US, Search(state=PieceState.USED, job="job"))
    assert {piece.id for piece in used} == {free, mine}
    # Said again in the next revision, it stays as it is.
    rack.promise(US, "job", Settlement(begun=(free, thrown, mine)))


def test_a_job_that_gives_back_still_leaves_over_what_is_cut(rack: Rack) -> None:
    cut, uncut = stick(inches(40), label="K1.1"), stick(inches(50), label="K1.2")
    rack.settle(US, "job", Settlement(left=(cut, uncut)))
    rack.release(US, "job", [stick(inches(40))])
    assert [piece.label for piece in rack.search(US, Search(state=PieceState.EXPECTED))] == ["K1.1"]
