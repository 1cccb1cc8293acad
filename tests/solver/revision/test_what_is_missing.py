"""Stock that is not where the list says, and parts that a shipment lacked."""

from __future__ import annotations

import pytest

from solver.catalogue import Hardware
from solver.errors import ProblemError
from solver.events import BlankMissing, EverythingCut, HardwareMissing, NotThere, RailMissing, StickCut
from solver.lengths import inches
from solver.plan import Place
from tests.builders import COLOUR, PROFILE, pack, problem, stick
from tests.solver.revision.chain import after, bought, first, open_rails

RACK = stick("L2345678A", inches(92), None, on_sale=False, on_hand=1, leftover=True)


def test_a_listed_leftover_that_is_not_there_is_bought_instead() -> None:
    before = first(problem(sticks=(stick(), RACK)))
    assert bought(before.plan).get("8 ft") == 1
    now = after(before, NotThere(stock="L2345678A"))
    assert bought(now.plan) == {"8 ft": 1}
    assert "L2345678A" not in {each.name for each in now.problem.catalogue.sticks}
    assert now.begun == ()


def test_a_leftover_that_is_begun_counts_as_used_from_then_on() -> None:
    before = first(problem(sticks=(stick(), RACK)))
    number = next(s.number for s in before.plan.stick_groups[0].sticks if s.stock == "L2345678A")
    now = after(before, StickCut(profile=PROFILE, colour=COLOUR, number=number))
    assert now.begun == ("L2345678A",)
    assert after(now, EverythingCut()).begun == ("L2345678A",)


def test_more_cannot_be_missing_than_was_on_hand() -> None:
    before = first(problem(sticks=(stick(), RACK)))
    with pytest.raises(ProblemError, match="2 are said not to be there, but only 1 are on hand"):
        after(before, NotThere(stock="L2345678A", missing=2))
    with pytest.raises(ProblemError, match="no stock of that name is listed"):
        after(before, NotThere(stock="L9"))


def test_a_rail_lost_on_the_way_is_cut_again_and_nothing_else() -> None:
    cut = after(first(problem()), EverythingCut())
    now = after(cut, RailMissing(opening="A-101", copy=1, place=Place.LEFT))
    assert open_rails(now.plan) == [("A-101", 1, "left")]
    assert len(now.problem.pinned_rails) == 3
    with pytest.raises(ProblemError, match="the plan cuts no such rail"):
        after(cut, RailMissing(opening="A-101", copy=2, place=Place.LEFT))


def test_a_rail_lost_before_anybody_marked_it_as_cut_leaves_its_stick_shorter() -> None:
    before = first(problem())
    now = after(before, RailMissing(opening="A-101", copy=1, place=Place.LEFT))
    assert len(open_rails(now.plan)) == 4
    assert now.problem.pinned_rails == ()


def test_a_blank_lost_on_the_way_is_cut_again() -> None:
    cut = after(first(problem()), EverythingCut())
    now = after(cut, BlankMissing(opening="A-101", copy=1))
    blanks = [b for r in now.plan.roll_groups[0].rolls for c in r.crosscuts for s in c.strips for b in s.blanks]
    assert [(blank.opening, blank.copy) for blank in blanks] == [("A-101", 1)]


def test_two_corners_that_a_bag_lacked_come_from_the_spare_ones() -> None:
    spare = after(
        first(problem(packs=(pack(Hardware.CORNER, 25, fits=PROFILE),))),
        HardwareMissing(opening="A-101", hardware=Hardware.CORNER, amount=2),
    )
    assert bought(spare.plan) == {}
    assert spare.problem.catalogue.packs[0].on_hand == 23


def test_two_corners_that_a_bag_lacked_are_bought_where_none_are_spare() -> None:
    now = after(
        first(problem(packs=(pack(Hardware.CORNER, 4, fits=PROFILE),))),
        HardwareMissing(opening="A-101", hardware=Hardware.CORNER, amount=2),
    )
    assert bought(now.plan) == {"corner x 4": 1}
    with pytest.raises(ProblemError, match="its screen has no roller"):
        after(now, HardwareMissing(opening="A-101", hardware=Hardware.ROLLER, amount=1))
