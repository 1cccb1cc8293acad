"""Own leftovers that the rack of all jobs has taken over are no stock of their job any more."""

from __future__ import annotations

from solver.check import faults, pinned_faults
from solver.events import Added, Event, EverythingCut, Miscut, StickCut
from solver.handed_over import HandedOver
from solver.lengths import inches
from solver.plan import Place
from solver.revision import Revision, replan
from solver.revision.leftover_names import OWN
from tests.builders import limits, opening, problem
from tests.solver.revision.chain import after, first


def own(revision: Revision) -> dict[str, int]:
    catalogue = revision.problem.catalogue
    lying = {stick.name: stick.on_hand for stick in catalogue.sticks}
    lying |= {roll.name: roll.on_hand for roll in catalogue.rolls}
    return {name: count for name, count in lying.items() if name.startswith(OWN)}


def all_own(revision: Revision) -> list[HandedOver]:
    catalogue = revision.problem.catalogue
    sticks = [
        HandedOver(
            code=f"{stick.name} {number}",
            profile=stick.profile,
            colour=stick.colour,
            length=stick.length,
            both_ends_clean=stick.both_ends_clean,
        )
        for stick in catalogue.sticks
        if stick.name.startswith(OWN)
        for number in range(stick.on_hand)
    ]
    rolls = [
        HandedOver(code=f"{roll.name} {number}", mesh=roll.mesh, width=roll.width, length=roll.length)
        for roll in catalogue.rolls
        if roll.name.startswith(OWN) and roll.length is not None
        for number in range(roll.on_hand)
    ]
    return [*sticks, *rolls]


def test_what_is_handed_over_is_struck_once_and_nothing_is_cut_from_it() -> None:
    cut = after(first(problem(opening())), EverythingCut())
    over = all_own(cut)
    assert over
    events = (Added(opening=opening("later")),)
    now = replan(cut, events, limits(), handed_over=over)
    assert own(now) == {}
    assert set(now.struck) == {piece.code for piece in over}
    assert not any(line.on_hand for line in now.plan.purchases if line.stock.startswith(OWN))
    assert faults(now.problem, now.plan) == []
    assert pinned_faults(cut.problem, cut.plan, events, now.problem, now.plan, over) == []
    # What the next revision leaves in the same sizes is its own: every piece is struck once.
    again = replan(now, (EverythingCut(),), limits(), handed_over=over)
    assert own(again) == own(after(now, EverythingCut()))


def test_a_piece_cut_in_the_revision_that_hands_it_over_is_struck_too() -> None:
    plan = first(problem(opening()))
    over = all_own(after(plan, EverythingCut()))
    now = replan(plan, (EverythingCut(),), limits(), handed_over=over)
    assert own(now) == {}
    waiting = replan(plan, (), limits(), handed_over=over)
    assert waiting.struck == ()


def rest_of_stick(revision: Revision, number: int) -> HandedOver:
    (group,) = revision.plan.stick_groups
    stick = next(each for each in group.sticks if each.number == number)
    return HandedOver(code="L1", profile=group.profile, colour=group.colour, length=stick.offcut, number=stick.number)


def recounted(before: Revision, *events: Event, over: HandedOver) -> Revision:
    now = replan(before, events, limits(), handed_over=[over])
    assert faults(now.problem, now.plan) == []
    rests = [over] if over.code in now.struck else []
    assert pinned_faults(before.problem, before.plan, now.events, now.problem, now.plan, rests) == []
    return now


def test_an_offcut_in_somebodys_hands_proves_that_its_stick_is_cut() -> None:
    # Stick 2 gives top and bottom, and 32 1/4 in are left, which lie on the rack; nobody has reported the stick.
    plan = first(problem(opening()))
    now = recounted(plan, Added(opening=opening("later")), over=rest_of_stick(plan, 2))
    assert StickCut(profile="5/16", colour="white", number=2) in now.events
    assert {(pin.opening, pin.place.value) for pin in now.problem.pinned_rails} == {
        ("A-101", "top"),
        ("A-101", "bottom"),
    }
    assert now.struck == ("L1",)
    assert own(now) == {}


def test_a_miscut_makes_no_second_offcut_of_one_that_lies_on_the_rack_already() -> None:
    plan = first(problem(opening()))
    over = rest_of_stick(plan, 2)
    wrong = Miscut(opening="A-101", copy=1, place=Place.TOP, length=inches(30))
    now = recounted(plan, wrong, over=over)
    assert now.struck == ("L1",)
    # Without the piece on the rack the offcut would be as much longer as the rail came out shorter.
    lengths = {
        s.length
        for s in after(plan, StickCut(profile="5/16", colour="white", number=2), wrong).problem.catalogue.sticks
    }
    longer = over.length + inches(31, 5, 8) - inches(30)
    assert longer in lengths
    assert longer not in {stick.length for stick in now.problem.catalogue.sticks}


def test_the_end_of_a_roll_in_somebodys_hands_proves_its_crosscuts() -> None:
    plan = first(problem(opening()))
    (group,) = plan.plan.roll_groups
    (end,) = group.leftovers
    over = HandedOver(code="L1", mesh=group.mesh, width=end.width, length=end.length, number=end.roll)
    now = recounted(plan, Added(opening=opening("later")), over=over)
    assert now.struck == ("L1",)
    assert [pin.opening for pin in now.problem.pinned_blanks] == ["A-101"]
    assert own(now) == {}


def test_the_recount_finds_an_offcut_handed_over_by_a_stick_that_is_not_cut() -> None:
    plan = first(problem(opening()))
    unmoved = replan(plan, (), limits())
    found = pinned_faults(plan.problem, plan.plan, (), unmoved.problem, unmoved.plan, [rest_of_stick(plan, 2)])
    assert "what left a piece over is cut" in {fault.rule for fault in found}
