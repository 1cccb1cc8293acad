"""How a screen is put together, step by step, and what can hurt somebody on the way.

Steps and cautions: common practice, no source.
"""

from __future__ import annotations

from math import isqrt

from service.documents.amounts import unit_length
from solver.catalogue import Hardware
from solver.lengths import TICKS_PER_INCH, TICKS_PER_MM, Ticks, Unit
from solver.openings import Mounting, Opening
from solver.plan import Screen

SHOP_CAUTIONS = (
    "Cut ends and blades are sharp: deburr, wear eye protection and gloves, keep fingers behind the blade.",
    "An insect screen does not stop a child from falling: it is no guard, fix the caution label where it is seen.",
)


def diagonal(screen: Screen, unit: Unit) -> Ticks:
    """Return the diagonal of a square frame, to the nearest sixteenth or millimetre.

    Examples
    --------
    >>> from solver.lengths import inches
    >>> screen = Screen(opening="A", quantity=1, profile="", colour="", mesh="", frame_width=inches(30),
    ...     frame_height=inches(40), rails=(), blank_width=inches(32), blank_height=inches(42), needs=(),
    ...     arithmetic=())
    >>> diagonal(screen, Unit.INCH) == inches(50)
    True
    """
    step = TICKS_PER_INCH // 16 if unit is Unit.INCH else TICKS_PER_MM
    exact = isqrt(screen.frame_width**2 + screen.frame_height**2)
    return Ticks((exact + step // 2) // step * step)


def assembly_steps(screen: Screen, opening: Opening | None, unit: Unit) -> list[str]:
    """Return what to do in order, with this screen's own sizes and sides."""
    sides = {need.hardware: need.place for need in screen.needs}
    mounting = opening.mounting if opening else None
    steps = ["Check the lengths of all rails against the drawing, and deburr the ends."]
    corners = "Push the corners into the rails, grooves up"
    spring = next((sides[kind] for kind in (Hardware.SPRING, Hardware.LEAF) if sides.get(kind)), "")
    steps.append(f"{corners}; springs at the {spring}, before the frame is closed." if spring else f"{corners}.")
    if Hardware.BAR_CLIP in sides:
        steps.append("Clip in the cross bar at mid-span; with several, evenly spaced.")
    about = unit_length(diagonal(screen, unit), unit)
    steps.append(f"Square the frame on a flat table: both diagonals equal, about {about}.")
    steps.append("Hold the long rails straight with blocks or tape, so that the cloth does not bend them inward.")
    steps.append("Lay the mesh square over the frame, weave parallel to the rails, the same overhang all round.")
    steps.append(
        "Roll the spline in along one long side: once to push it in, once more to seat it. Go round the corners with a "
        "blunt tool, then the next sides; pull the last two sides lightly and evenly. Do not stretch the spline."
    )
    if sides.get(Hardware.TAB):
        steps.append(f"Put the pull tabs under the spline at the {sides[Hardware.TAB]}.")
    if mounting in _FIXED_LAST:
        steps.append(_FIXED_LAST[mounting])
    steps.append("Trim the mesh just outside the spline, the blade leaning toward the frame.")
    limit = "1/16 to 1/8 in" if unit is Unit.INCH else "2 to 3 mm"
    steps.append(f"Check the bow of the long rails: at most {limit}. Fix the label and the caution label.")
    return steps


_FIXED_LAST: dict[Mounting | None, str] = {
    Mounting.PINS: "Drill for the plunger pins as listed, fit them, and write down the hole positions.",
    Mounting.CLIPS: "Lay out the face clips as listed; they are screwed on at the opening.",
    Mounting.SLIDING: "Fit rollers, latch, pull and bug seal; the rollers turn freely.",
    Mounting.MAGNETS: "Clean the frame and stick the magnetic strip on all round, joints at the corners.",
}
