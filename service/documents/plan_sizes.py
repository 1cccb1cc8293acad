"""The sizes of each opening's screen as ``plan.json`` writes them."""

from __future__ import annotations

from service.documents import plan_models as models
from service.documents.plan_values import PlanValues
from solver.openings import Opening
from solver.plan import Rail, Screen


def screen_sizes(screen: Screen, opening: Opening | None, values: PlanValues) -> models.ScreenSizes:
    """Return one opening's sizes; where it is and what was read stay empty when the row is not known."""
    return models.ScreenSizes(
        opening=screen.opening,
        quantity=screen.quantity,
        order=opening.order if opening else "",
        phase=opening.phase if opening else "",
        building=opening.building if opening else "",
        floor=opening.floor if opening else "",
        unit=opening.unit if opening else "",
        room=opening.room if opening else "",
        note=opening.note if opening else "",
        width_readings=tuple(values.length(reading) for reading in opening.widths) if opening else (),
        height_readings=tuple(values.length(reading) for reading in opening.heights) if opening else (),
        profile=screen.profile,
        colour=screen.colour,
        mesh=screen.mesh,
        frame_width=values.length(screen.frame_width),
        frame_height=values.length(screen.frame_height),
        rails=tuple(_rail(rail, values) for rail in screen.rails),
        blank_width=values.length(screen.blank_width),
        blank_height=values.length(screen.blank_height),
        hardware=tuple(values.need(need) for need in screen.needs),
        arithmetic=screen.arithmetic,
    )


def _rail(rail: Rail, values: PlanValues) -> models.RailSize:
    return models.RailSize(place=rail.place.value, length=values.length(rail.length))
