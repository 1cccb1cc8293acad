"""Which piece is it? A rail whose label is lost, by its measured length."""

from __future__ import annotations

from solver.lengths import Ticks, inches
from solver.plan import Plan
from solver.problem import Problem
from solver.revision.record import Candidate

TAPE = inches(0, 1, 32)


def candidates(
    problem: Problem,
    plan: Plan,
    length: Ticks,
    *,
    tolerance: Ticks = TAPE,
    profile: str | None = None,
    colour: str | None = None,
) -> tuple[Candidate, ...]:
    """Return the rails a measured length may be, nearest first, then in the order of the plan.

    Parameters
    ----------
    problem, plan
        The revision at hand; pinned pieces are among the candidates.
    length
        As measured over all (long point to long point if mitred).
    tolerance
        How far off a rail may be; 1/32 in unless given: a tape and a saw cut.
    profile, colour
        Only rails of these, where given.

    References
    ----------
    A tape is good to 1/32 in up to 6 ft: NIST Handbook 44, 5.52.
    """
    found = [
        Candidate(
            opening=rail.opening,
            copy=rail.copy,
            place=rail.place,
            length=rail.length,
            off=Ticks(length - rail.length),
            profile=group.profile,
            colour=group.colour,
            pinned=False,
            stick=stick.number,
        )
        for group in plan.stick_groups
        for stick in group.sticks
        for rail in stick.rails
    ]
    made_of = {screen.opening: (screen.profile, screen.colour) for screen in plan.screens}
    found += [
        Candidate(
            opening=pin.opening,
            copy=pin.copy,
            place=pin.place,
            length=pin.length,
            off=Ticks(length - pin.length),
            profile=made_of[pin.opening][0],
            colour=made_of[pin.opening][1],
            pinned=True,
        )
        for pin in problem.pinned_rails
    ]
    near = [
        one
        for one in found
        if abs(one.off) <= tolerance and profile in (None, one.profile) and colour in (None, one.colour)
    ]
    return tuple(sorted(near, key=lambda one: abs(one.off)))
