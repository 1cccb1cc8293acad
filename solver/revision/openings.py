"""The openings after measurements, change orders and cancellations."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace

from solver.errors import ProblemError, ProblemFault
from solver.events import Added, Cancelled, ChangeOrder, Event, Remeasured
from solver.openings import Opening
from solver.plan import Screen
from solver.problem import Problem


def openings_now(problem: Problem, screens: Iterable[Screen], events: Iterable[Event]) -> tuple[Opening, ...]:
    """Return the openings as they are wanted now.

    What the plan chose for an opening (profile, colour, mesh) is kept unless an
    event says otherwise: a change of stock must not turn a screen half cut into
    another one.

    Raises
    ------
    ProblemError
        If an event names an opening that is not in the job, or none is left.
    """
    planned = {screen.opening: screen for screen in screens}
    openings = {opening.label: _settled(opening, planned) for opening in problem.openings}
    faults = []
    for event in events:
        if isinstance(event, Added):
            if event.opening.label in openings:
                faults.append(f"{event.opening.label}: the job has an opening of this label already")
            openings[event.opening.label] = event.opening
        elif isinstance(event, Remeasured | ChangeOrder | Cancelled):
            if event.opening not in openings:
                faults.append(f"{event.opening}: the job has no such opening")
            elif isinstance(event, Cancelled):
                del openings[event.opening]
            else:
                openings[event.opening] = _changed(openings[event.opening], event)
    if not openings and not faults:
        faults.append("every opening is cancelled; cancel the job, and book what is left of it on the rack")
    if faults:
        raise ProblemError(tuple(ProblemFault(source="", message=fault) for fault in faults))
    return tuple(openings.values())


def _settled(opening: Opening, planned: Mapping[str, Screen]) -> Opening:
    screen = planned.get(opening.label)
    if screen is None:
        return opening
    return replace(opening, profile=screen.profile, colour=screen.colour, mesh=screen.mesh)


def _changed(opening: Opening, event: Remeasured | ChangeOrder) -> Opening:
    if isinstance(event, Remeasured):
        return replace(opening, widths=event.widths, heights=event.heights, diagonals=None)
    said = {name: getattr(event, name) for name in ("quantity", "profile", "colour", "mesh")}
    return replace(opening, **{name: value for name, value in said.items() if value is not None})
