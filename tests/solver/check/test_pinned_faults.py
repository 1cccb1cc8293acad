"""The recount of a revision finds what the recount of its plan alone cannot."""

from __future__ import annotations

from dataclasses import replace

from solver.check import pinned_faults
from solver.events import CrosscutCut, StickCut
from solver.lengths import Ticks, inches
from solver.pieces import PinnedRail, Place
from solver.problem import Problem
from tests.builders import COLOUR, MESH, PROFILE, problem
from tests.solver.revision.chain import after, first

EVENTS = (StickCut(profile=PROFILE, colour=COLOUR, number=1), CrosscutCut(mesh=MESH, number=1))


def rules_broken(change: Problem) -> set[str]:
    before = first(problem())
    now = after(before, *EVENTS)
    return {fault.rule for fault in pinned_faults(before.problem, before.plan, EVENTS, change, now.plan)}


def good() -> Problem:
    return after(first(problem()), *EVENTS).problem


def test_a_good_revision_has_no_faults() -> None:
    assert rules_broken(good()) == set()


def test_a_cut_rail_that_is_forgotten_is_found() -> None:
    assert "what is cut and still wanted stays pinned" in rules_broken(replace(good(), pinned_rails=()))


def test_a_rail_that_was_never_cut_is_found() -> None:
    invented = PinnedRail(opening="A-101", copy=1, place=Place.TOP, length=inches(31, 5, 8))
    job = good()
    assert rules_broken(replace(job, pinned_rails=(*job.pinned_rails, invented))) >= {
        "no more are pinned than were cut"
    }


def test_a_blank_that_is_lost_is_found() -> None:
    assert rules_broken(replace(good(), pinned_blanks=())) == {"every roll is on hand, begun or cut"}


def test_a_longer_offcut_than_the_saw_left_is_found() -> None:
    job = good()
    sticks = tuple(
        replace(each, length=Ticks(each.length + 1)) if each.leftover else each for each in job.catalogue.sticks
    )
    assert rules_broken(replace(job, catalogue=replace(job.catalogue, sticks=sticks))) == {
        "every stick is on hand, begun or pinned",
        "nothing is on hand that never came",
    }


def test_hardware_that_vanishes_is_found() -> None:
    job = good()
    packs = tuple(replace(each, on_hand=each.on_hand - 1) for each in job.catalogue.packs)
    assert rules_broken(replace(job, catalogue=replace(job.catalogue, packs=packs))) == {
        "what came is on hand until the job ends"
    }
