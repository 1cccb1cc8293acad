"""Cutting, miscutting and damage: what is cut stays, only the rest is planned.

The window of the builders: frame 33 1/8 x 47 1/4, rails 31 5/8 and 45 3/4, two
96 in sticks of two rails each.
"""

from __future__ import annotations

import pytest

from solver.errors import ProblemError
from solver.events import CrosscutCut, DamagedStick, EverythingCut, Miscut, RailCut, RollFlaw, SpoiltBlank, StickCut
from solver.lengths import Ticks, inches
from solver.plan import Place
from tests.builders import COLOUR, MESH, PROFILE, opening, problem, roll, stick
from tests.solver.revision.chain import after, bought, first, open_rails


def test_nothing_happened_nothing_changes_and_nothing_is_bought_again() -> None:
    now = after(first(problem()))
    assert now.difference is not None
    assert bought(now.plan) == {}
    assert (now.difference.changes, now.difference.reprints) == (0, ())
    assert [(change.number, change.was) for change in now.difference.to_cut] == [(1, 1), (2, 2), (1, 1)]


def test_a_stick_that_is_cut_is_not_cut_again() -> None:
    begun = first(problem())
    on_first, on_second = ({rail.place for rail in s.rails} for s in begun.plan.stick_groups[0].sticks)
    now = after(begun, StickCut(profile=PROFILE, colour=COLOUR, number=1))
    assert {place for _, _, place in open_rails(now.plan)} == {place.value for place in on_second}
    assert {pin.place for pin in now.problem.pinned_rails} == on_first


def test_when_everything_is_cut_nothing_is_left_to_cut() -> None:
    now = after(first(problem()), EverythingCut())
    assert (now.plan.stick_groups, now.plan.roll_groups) == ((), ())
    assert bought(now.plan) == {}


def test_a_rail_marked_twice_is_cut_once() -> None:
    mark = RailCut(opening="A-101", copy=1, place=Place.LEFT)
    now = after(first(problem()), mark, mark)
    assert [pin.place for pin in now.problem.pinned_rails] == [Place.LEFT]


def test_what_is_left_of_a_begun_stick_is_what_the_saw_left() -> None:
    # 96 - 1/4 trim - 45 3/4 - 1/8 kerf = 49 7/8, its far end untrimmed.
    now = after(first(problem()), RailCut(opening="A-101", copy=1, place=Place.LEFT))
    rest = [each for each in now.problem.catalogue.sticks if each.leftover]
    assert [(each.length, each.on_hand) for each in rest] == [(inches(49, 7, 8), 1)]


def test_a_miscut_takes_the_place_of_a_shorter_open_rail() -> None:
    # The upright came out at 40 in, which holds a level rail of 31 5/8; its stick still holds the other upright
    # (96 - 1/4 - 40 1/8 = 55 5/8), and the second stick one upright and one level rail: nothing is bought.
    now = after(first(problem()), Miscut(opening="A-101", copy=1, place=Place.LEFT, length=inches(40)))
    assert bought(now.plan) == {}
    from_miscut = [s for s in now.plan.stick_groups[0].sticks if s.length == inches(40)]
    assert [[rail.length for rail in s.rails] for s in from_miscut] == [[inches(31, 5, 8)]]


def test_a_miscut_as_long_as_another_rail_becomes_that_rail() -> None:
    # An upright cut at the stop of the level rails: 31 5/8 is just the top rail.
    now = after(first(problem()), Miscut(opening="A-101", copy=1, place=Place.LEFT, length=inches(31, 5, 8)))
    assert now.difference is not None
    assert [pin.place for pin in now.problem.pinned_rails] == [Place.TOP]
    assert now.difference.reused == 1
    assert now.difference.reprints[0].why == "a miscut that fits here"


def test_a_miscut_that_fits_nothing_lies_on_the_rack_with_two_clean_ends() -> None:
    now = after(first(problem()), EverythingCut(), Miscut(opening="A-101", copy=1, place=Place.TOP, length=inches(31)))
    clean = [each for each in now.problem.catalogue.sticks if each.both_ends_clean]
    assert [each.length for each in clean] == [inches(31)]
    assert now.difference is not None
    assert inches(31) in [spare.length for spare in now.difference.spare_sticks]


def test_a_miscut_found_a_revision_later_is_cut_again() -> None:
    cut = after(first(problem()), EverythingCut())
    now = after(cut, Miscut(opening="A-101", copy=1, place=Place.TOP, length=inches(31)))
    assert open_rails(now.plan) == [("A-101", 1, "top")]


def test_a_damaged_stick_is_bought_again() -> None:
    now = after(first(problem()), DamagedStick(profile=PROFILE, colour=COLOUR, number=1))
    assert bought(now.plan) == {"8 ft": 1}
    assert len(open_rails(now.plan)) == 4


def test_the_sound_part_of_a_damaged_stick_is_used() -> None:
    # 64 1/2 in are sound: two level rails of 31 5/8, one kerf and one trim take 63 5/8.
    now = after(
        first(problem(sticks=(stick(), stick("5 ft 4 1/2", inches(64, 1, 2), 700)))),
        DamagedStick(profile=PROFILE, colour=COLOUR, number=1, sound=(inches(46), inches(46))),
    )
    assert bought(now.plan) == {}


def test_a_miscut_longer_than_its_stick_is_refused() -> None:
    with pytest.raises(ProblemError, match="longer than the stick; measure the miscut again"):
        after(
            first(problem()),
            EverythingCut(),
            Miscut(opening="A-101", copy=1, place=Place.LEFT, length=inches(97)),
        )


def test_a_stick_that_is_not_in_the_plan_is_named() -> None:
    with pytest.raises(ProblemError, match="5/16 white: the plan has no stick 9"):
        after(first(problem()), StickCut(profile=PROFILE, colour=COLOUR, number=9))


def test_a_spoilt_blank_is_cut_again_from_the_same_roll() -> None:
    now = after(first(problem()), SpoiltBlank(opening="A-101", copy=1))
    # The blank is 35 1/8 x 49 1/4; 1,200 - 49 1/4 are left on the roll.
    assert [cut.length for cut in now.plan.roll_groups[0].rolls] == [inches(1_150, 3, 4)]
    assert bought(now.plan) == {}


def test_a_flaw_is_cut_around() -> None:
    # 20 in from the free end, 2 in long: the piece of 20 in is too short for a blank of 49 1/4.
    now = after(first(problem()), RollFlaw(mesh=MESH, number=1, starts_at=inches(20), length=inches(2)))
    lengths = sorted(each.length or 0 for each in now.problem.catalogue.rolls if each.leftover)
    assert lengths == [inches(20), inches(1_178)]
    assert now.plan.roll_groups[0].rolls[0].length == inches(1_178)


def test_a_flaw_that_leaves_too_little_calls_for_another_roll() -> None:
    short = roll("48 in x 50 in", length=inches(50))
    now = after(first(problem(rolls=(short,))), RollFlaw(mesh=MESH, number=1, starts_at=Ticks(0), length=inches(5)))
    assert bought(now.plan) == {"48 in x 50 in": 1}


def test_a_cut_crosscut_pins_its_blanks() -> None:
    two = problem(opening(quantity=2), rolls=(roll(width=inches(36), name="36 in"),))
    now = after(first(two), CrosscutCut(mesh=MESH, number=1))
    assert [(pin.opening, pin.copy) for pin in now.problem.pinned_blanks] == [("A-101", 1)]
    assert [cut.number for cut in now.plan.roll_groups[0].rolls[0].crosscuts] == [2]
