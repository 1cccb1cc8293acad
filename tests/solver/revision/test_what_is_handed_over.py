"""Own leftovers that the rack of all jobs has taken over are no stock of their job any more."""

from __future__ import annotations

from solver.check import faults, pinned_faults
from solver.events import Added, EverythingCut
from solver.handed_over import HandedOver
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
