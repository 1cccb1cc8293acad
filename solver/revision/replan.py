"""The way in: a revision and what happened since, the next revision out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from solver.catalogue import Catalogue
from solver.check import pinned_faults
from solver.events import Event, NotThere
from solver.handed_over import HandedOver
from solver.limits import Limits
from solver.money import Cents
from solver.parts.facades import facades_by_mesh
from solver.problem import Problem
from solver.revision.chain_money import purchases_before
from solver.revision.choosing import chosen
from solver.revision.deliveries import deliveries
from solver.revision.difference import difference
from solver.revision.handing_over import proven_cuts
from solver.revision.leftover_names import OWN, RollRack, StickRack
from solver.revision.numbers import as_numbered_before, highest_numbers
from solver.revision.openings import openings_now
from solver.revision.pinning import Pinning, pinning
from solver.revision.record import Revision
from solver.revision.stock import rack_now
from solver.revision.work import work_done
from solver.solve import PlanFaultError, assemble, parts, sized

NO_PRICE = Cents(0)


def replan(
    before: Revision,
    events: Sequence[Event],
    limits: Limits,
    *,
    price_of_change: Cents = NO_PRICE,
    handed_over: Sequence[HandedOver] = (),
) -> Revision:
    """Return the next revision: what is cut stays, and only the rest is planned, changing as little as money allows.

    The purchase list of ``before`` counts as bought, less what an event says is
    missing; so the new plan's total is what is to be bought beyond it. Miscuts
    and pieces no longer wanted serve other open pieces of exactly their size,
    or lie on the rack with two clean ends.

    Parameters
    ----------
    before
        The revision that the events speak of.
    events
        What happened since it was planned, in any order.
    limits
        For the whole rest, shared among its parts.
    price_of_change
        What a stick or crosscut that is cut otherwise than planned before
        counts beside the money; with 0 the cheapest plan wins, and among equals
        the one with the fewest changes.
    handed_over
        Own leftovers that the rack of all jobs has taken over, all of them so
        far; each is struck once from what this job has on hand. One that says
        what it is the rest of proves that this is cut: it counts as an event.

    Raises
    ------
    ProblemError
        If an event cannot have happened, or the rest cannot be planned.
    PlanFaultError
        If the recount finds a broken rule; a defect of this package.
    """
    waiting = [piece for piece in handed_over if piece.code not in before.struck]
    events = (*proven_cuts(before.plan, waiting), *events)
    came = deliveries(before.problem.catalogue, before.plan, events)
    work = work_done(before.problem, before.plan, events)
    rack = rack_now(before.problem, before.plan, work, came, events, waiting)
    openings = openings_now(before.problem, before.plan.screens, events)
    numbered = before.problem.numbering or tuple(screen.opening for screen in before.plan.screens)
    bare = replace(
        before.problem,
        openings=openings,
        catalogue=rack.catalogue,
        pinned_rails=(),
        pinned_blanks=(),
        numbering=tuple(dict.fromkeys((*numbered, *(opening.label for opening in openings)))),
    )
    sizing = sized(bare)
    pins = pinning(work, sizing.screens, facades_by_mesh(bare, sizing.screens))
    problem = replace(bare, catalogue=_with_spare(bare, pins), pinned_rails=pins.rails, pinned_blanks=pins.blanks)
    rest = parts(problem, sizing)
    share = limits.shared(max(1, len(rest)))
    answers = [chosen(part, rack.sticks, rack.wanting, rack.rolls, share, price_of_change) for part in rest]
    highest = highest_numbers(before.plan, dict(before.highest))
    old = (*rack.sticks, *rack.wanting)
    answers = [replace(answer, group=as_numbered_before(answer.group, old, rack.rolls, highest)) for answer in answers]
    plan = assemble(problem, sizing, [answer.group for answer in answers])
    broken = pinned_faults(before.problem, before.plan, events, problem, plan, rack.struck)
    if broken:
        raise PlanFaultError(tuple(broken))
    return Revision(
        number=before.number + 1,
        problem=problem,
        plan=plan,
        events=tuple(events),
        difference=difference(before, problem, plan, rack, answers, pins.moved, work),
        begun=tuple(sorted({*before.begun, *_begun(before.problem, problem, events)})),
        highest=tuple(sorted(highest_numbers(plan, highest).items())),
        struck=(*before.struck, *(piece.code for piece in rack.struck)),
        bought_before=purchases_before(before, events),
    )


def _begun(before: Problem, now: Problem, events: Sequence[Event]) -> set[str]:
    """Return the leftovers of other jobs that were on hand and are no more, but for those that were not found."""
    not_found = {event.stock for event in events if isinstance(event, NotThere)}
    return {name for name in _lying(before) - _lying(now) - not_found if not name.startswith(OWN)}


def _lying(problem: Problem) -> set[str]:
    sticks = {stick.name for stick in problem.catalogue.sticks if stick.leftover and stick.on_hand}
    return sticks | {roll.name for roll in problem.catalogue.rolls if roll.leftover and roll.on_hand}


def _with_spare(problem: Problem, pins: Pinning) -> Catalogue:
    """Return the stock with the spare pieces on the rack."""
    sticks = StickRack(problem.catalogue.sticks, problem.unit)
    for profile, colour, length in pins.spare_rails:
        sticks.add(profile, colour, length, 1, leftover=True, both_ends_clean=True)
    rolls = RollRack(problem.catalogue.rolls, problem.unit)
    for mesh, across, along in pins.spare_blanks:
        rolls.add(mesh, across, along, 1)
    return replace(problem.catalogue, sticks=sticks.listed(), rolls=rolls.listed())
