"""Change orders, measurements, cancellations and short deliveries against the work done."""

from __future__ import annotations

import pytest

from solver.catalogue import Hardware, Mesh
from solver.errors import ProblemError
from solver.events import Added, Cancelled, ChangeOrder, EverythingCut, Remeasured, ShortDelivery, StickCut
from solver.lengths import inches
from solver.money import Cents
from solver.plan import Place
from tests.builders import COLOUR, MESH, PROFILE, opening, pack, problem, roll, stick
from tests.solver.revision.chain import after, bought, first, open_rails


def test_remeasured_in_height_keeps_the_level_rails() -> None:
    cut = after(first(problem()), EverythingCut())
    now = after(cut, Remeasured(opening="A-101", widths=(inches(33, 1, 4),), heights=(inches(49, 3, 8),)))
    assert sorted(pin.place.value for pin in now.problem.pinned_rails) == ["bottom", "top"]
    # Two uprights too short by 2 in are spare, and the frame of 49 1/4 is over 48 in: it gets a cross bar.
    spare = [each for each in now.problem.catalogue.sticks if each.both_ends_clean]
    assert [(each.length, each.on_hand) for each in spare] == [(inches(45, 3, 4), 2)]
    assert [place for _, _, place in open_rails(now.plan)] == ["cross bar", "left", "right"]


def test_a_cancelled_unit_gives_its_rails_to_the_others() -> None:
    job = problem(opening("A"), opening("B"))
    begun = first(job)
    of_a = [s.number for s in begun.plan.stick_groups[0].sticks if {rail.opening for rail in s.rails} == {"A"}]
    cut = after(begun, *[StickCut(profile=PROFILE, colour=COLOUR, number=number) for number in of_a])
    pinned = len(cut.problem.pinned_rails)
    assert pinned > 0
    now = after(cut, Cancelled(opening="A"))
    assert {pin.opening for pin in now.problem.pinned_rails} == {"B"}
    assert len(now.problem.pinned_rails) == pinned
    assert now.difference is not None
    assert now.difference.reused == pinned
    assert {reprint.why for reprint in now.difference.reprints if reprint.was} == {"cut for another screen"}


def test_a_cancelled_unit_leaves_its_sticks_and_hardware_spare() -> None:
    job = problem(opening("A"), opening("B"), packs=(pack(Hardware.CORNER, 4, fits=PROFILE),))
    now = after(first(job), Cancelled(opening="A"))
    assert now.difference is not None
    assert [(spare.length, spare.count) for spare in now.difference.spare_sticks] == [(inches(96), 2)]
    assert (Hardware.CORNER.value + " x 4", 4) in [(s.stock, s.amount) for s in now.difference.spare_hardware]
    assert bought(now.plan) == {}


def test_fewer_copies_leave_the_pieces_of_the_last_to_the_first() -> None:
    job = problem(opening(quantity=2), sticks=(stick(length=inches(192), price=1500),))
    cut = after(first(job), EverythingCut())
    now = after(cut, ChangeOrder(opening="A-101", quantity=1))
    assert {pin.copy for pin in now.problem.pinned_rails} == {1}
    assert sum(each.on_hand for each in now.problem.catalogue.sticks if each.both_ends_clean) == 4


def test_one_more_copy_buys_only_what_is_missing() -> None:
    now = after(first(problem()), ChangeOrder(opening="A-101", quantity=2))
    assert bought(now.plan)["8 ft"] == 2
    assert "48 in x 100 ft" not in bought(now.plan)


def test_another_colour_makes_every_cut_rail_spare_and_keeps_the_mesh() -> None:
    job = problem(sticks=(stick(), stick("8 ft bronze", colour="bronze")))
    cut = after(first(job), EverythingCut())
    now = after(cut, ChangeOrder(opening="A-101", colour="bronze"))
    assert now.problem.pinned_rails == ()
    assert len(now.problem.pinned_blanks) == 1
    assert bought(now.plan) == {"8 ft bronze": 2}


def test_another_mesh_keeps_the_rails() -> None:
    meshes = (Mesh(name=MESH), Mesh(name="pet cloth"))
    job = problem(meshes=meshes, rolls=(roll(), roll("pet 48", mesh="pet cloth")))
    cut = after(first(job), EverythingCut())
    now = after(cut, ChangeOrder(opening="A-101", mesh="pet cloth"))
    assert len(now.problem.pinned_rails) == 4
    assert bought(now.plan) == {"pet 48": 1}
    leftover = [(each.width, each.length) for each in now.problem.catalogue.rolls if each.leftover]
    assert (inches(35, 1, 8), inches(49, 1, 4)) in leftover


def test_a_new_opening_is_planned_beside_what_is_cut() -> None:
    cut = after(first(problem()), EverythingCut())
    now = after(cut, Added(opening=opening("A-102")))
    assert {name for name, _, _ in open_rails(now.plan)} == {"A-102"}


def test_what_is_missing_of_a_delivery_is_bought_again() -> None:
    now = after(first(problem()), ShortDelivery(stock="8 ft", missing=1))
    assert bought(now.plan) == {"8 ft": 1}
    assert now.difference is not None
    assert now.difference.changes == 0


def test_stock_that_is_gone_is_stood_in_for() -> None:
    job = problem(sticks=(stick(), stick("12 ft", inches(144), 1_600)))
    assert bought(first(job).plan)["8 ft"] == 2
    now = after(first(job), ShortDelivery(stock="8 ft", missing=1, gone=True))
    assert bought(now.plan) == {"12 ft": 1}


def test_more_missing_than_bought_is_refused() -> None:
    with pytest.raises(
        ProblemError, match=r"8 ft: 3 are missing, but only 2 were bought by this plan; .* is reported as not there"
    ):
        after(first(problem()), ShortDelivery(stock="8 ft", missing=3))


def test_the_last_opening_cannot_be_cancelled_away() -> None:
    with pytest.raises(ProblemError, match="every opening is cancelled; cancel the job"):
        after(first(problem()), Cancelled(opening="A-101"))


def test_a_chosen_profile_stays_when_the_stock_changes() -> None:
    now = after(first(problem()), ShortDelivery(stock="8 ft", missing=1))
    assert [each.profile for each in now.problem.openings] == [PROFILE]


def test_a_price_of_change_keeps_the_old_cuts_though_another_plan_is_cheaper() -> None:
    # One more window of 2 uprights and 2 level rails. Kept as they are, the old sticks have no room and two sticks
    # of 8.00 are bought; that is also the least, so only the count of changes can differ.
    now = after(first(problem()), ChangeOrder(opening="A-101", quantity=2), price_of_change=Cents(10_000))
    assert now.difference is not None
    assert now.difference.changes == 3
    assert [change.was for change in now.difference.to_cut if change.was is not None] == [1, 2, 1]


def test_lost_label_is_found_by_its_length() -> None:
    from solver.revision import candidates

    begun = first(problem())
    number = next(s.number for s in begun.plan.stick_groups[0].sticks if Place.LEFT in [r.place for r in s.rails])
    cut = after(begun, StickCut(profile=PROFILE, colour=COLOUR, number=number))
    near = candidates(cut.problem, cut.plan, inches(45, 25, 32))
    assert {one.place for one in near} == {Place.LEFT, Place.RIGHT}
    pinned = {pin.place for pin in cut.problem.pinned_rails}
    assert [one.pinned for one in near] == [one.place in pinned for one in near]
    assert candidates(cut.problem, cut.plan, inches(31, 5, 8), profile="other") == ()
