"""What a job's latest plan says is what the rack holds for it: taken, begun, not found, left over."""

from __future__ import annotations

import pytest

from service.errors import PieceTakenError, UnknownPieceError
from service.leftovers.records import NewPiece, PieceState, RackRules, Search
from service.leftovers.settlement import Settlement
from service.leftovers.stock import left_over
from service.rack.lengths import rack_length
from service.rack.rack import Rack
from solver.errors import RecordError
from solver.lengths import Ticks, Unit, inches, mm
from solver.solve import solve
from tests.builders import limits, opening, problem

US = "we"


def stick(length: Ticks, label: str = "") -> NewPiece:
    return NewPiece(profile="5/16", colour="white", length=length, label=label)


def of_job(rack: Rack, job: str, state: PieceState) -> list[str]:
    return [piece.id for piece in rack.search(US, Search(state=state, job=job))]


def test_a_revision_keeps_uses_and_frees(rack: Rack) -> None:
    kept, cut, freed, lost = (piece.id for piece in rack.add(US, [stick(inches(40 + n)) for n in range(4)]))
    rack.reserve(US, "job", [kept, cut, freed, lost])
    said = Settlement(taken=(kept,), begun=(cut,), gone=(lost,))
    for _ in range(2):  # What is said twice changes nothing.
        rack.settle(US, "job", said)
        assert of_job(rack, "job", PieceState.RESERVED) == [kept]
        assert of_job(rack, "job", PieceState.USED) == [cut]
        assert of_job(rack, "job", PieceState.SCRAPPED) == [lost]
        assert [piece.id for piece in rack.at_hand(US)] == [freed]
    # Taken back, the plan before holds again.
    rack.settle(US, "job", Settlement(taken=(kept, cut, lost)))
    assert set(of_job(rack, "job", PieceState.RESERVED)) == {kept, cut, lost}


def test_what_is_expected_follows_the_latest_plan_and_keeps_its_code(rack: Rack) -> None:
    rack.settle(US, "job", Settlement(left=(stick(inches(40)), stick(inches(50)))))
    before = {piece.length: piece.id for piece in rack.search(US, Search(state=PieceState.EXPECTED))}
    rack.settle(US, "job", Settlement(left=(stick(inches(50)), stick(inches(60)))))
    after = {piece.length: piece.id for piece in rack.search(US, Search(state=PieceState.EXPECTED))}
    assert set(after) == {inches(50), inches(60)}
    assert after[inches(50)] == before[inches(50)]


def test_a_full_rack_expects_the_longest(rack: Rack) -> None:
    rack.set_rules(US, RackRules(most_pieces=1))
    assert rack.settle(US, "job", Settlement(left=(stick(inches(40)), stick(inches(50))))) == 1
    assert [piece.length for piece in rack.search(US, Search(state=PieceState.EXPECTED))] == [inches(50)]


def test_a_job_is_planned_with_what_is_free_and_what_is_its_own(rack: Rack) -> None:
    mine, theirs, free = (piece.id for piece in rack.add(US, [stick(inches(40)) for _ in range(3)]))
    rack.reserve(US, "mine", [mine])
    rack.reserve(US, "theirs", [theirs])
    assert {piece.id for piece in rack.at_hand(US, "mine")} == {mine, free}
    with pytest.raises(PieceTakenError):
        rack.reserve(US, "mine", [theirs])


def test_the_label_that_a_job_printed_is_scanned_to_confirm_a_leftover(rack: Rack) -> None:
    for job in ("0f587f3dc94d", "a1b2c3d4e5f6"):
        rack.settle(US, job, Settlement(left=(stick(inches(40), "K1.4"),)))
    with pytest.raises(UnknownPieceError, match="2 expected pieces have that label"):
        rack.confirm(US, {"K1.4": inches(39)})
    (measured,) = rack.confirm(US, {"0F587F3D-K1.4": inches(39, 7, 8)})
    assert (measured.state, measured.length) == (PieceState.FREE, inches(39, 7, 8))


def test_a_kept_offcut_comes_to_the_rack_with_the_code_on_its_label() -> None:
    job = problem(opening())
    plan = solve(job, limits())
    numbers = {stick.offcut: stick.number for group in plan.stick_groups for stick in group.sticks}
    labels = {piece.length: piece.label for piece in left_over(job, plan) if piece.profile}
    # The small one, for which no label is printed, is known by the same sort of code.
    assert labels == {length: f"K1.{number}" for length, number in numbers.items()}
    assert any(stick.kept for group in plan.stick_groups for stick in group.sticks)


def test_a_piece_of_the_same_size_under_another_label_is_another_piece(rack: Rack) -> None:
    rack.settle(US, "job", Settlement(left=(stick(inches(40), "K1.1"),)))
    (before,) = of_job(rack, "job", PieceState.EXPECTED)
    rack.settle(US, "job", Settlement(left=(stick(inches(40), "K1.3"),)))
    (after,) = of_job(rack, "job", PieceState.EXPECTED)
    assert after != before
    # Once its stick is cut it has no label in the plan any more, and is the same piece.
    rack.settle(US, "job", Settlement(left=(stick(inches(40)),)))
    assert of_job(rack, "job", PieceState.EXPECTED) == [after]


def test_a_bare_length_is_asked_about_and_a_tape_fraction_is_inches() -> None:
    assert rack_length("60 1/2") == inches(60, 1, 2)
    assert rack_length("1524 mm") == rack_length("60 in") == rack_length("60", Unit.INCH)
    assert rack_length("1524", Unit.MM) == mm(1524)
    with pytest.raises(RecordError, match="60: inches or millimetres"):
        rack_length("60")
    with pytest.raises(RecordError):
        rack_length("27 9/8")
