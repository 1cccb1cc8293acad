"""Escape openings: their size beside the figures set, and whether the screen can be let go from inside."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction

from solver.openings import Mounting, Opening
from solver.plan import Kind
from solver.rules import Rules, square_ticks
from solver.sizing.cautions.authority import ask
from solver.sizing.remarks import Remark

HARD_TO_RELEASE = {Mounting.CLIPS}
_SQUARE_FOOT = square_ticks("1 sq ft")
_SQUARE_METRE = square_ticks("1 m2")


def area_words(area: Fraction | int, like: str) -> str:
    """Return an area in square ticks to three decimals, in the unit of the figure it is compared with.

    Examples
    --------
    >>> area_words(20 * 41 * square_ticks("1 sq in"), "5.7 sq ft")
    '5.694 sq ft'
    """
    if like.strip().endswith("m2"):
        return f"{float(area / _SQUARE_METRE):.3f} m2"
    return f"{float(area / _SQUARE_FOOT):.3f} sq ft"


def least_area(opening: Opening, rules: Rules) -> str:
    """Return the area figure set for an opening, the one at grade where there is hardly a drop outside."""
    at_grade = opening.drop_outside is not None and opening.drop_outside <= rules.escape_grade_drop
    return rules.escape_area_at_grade if at_grade else rules.escape_area


def shortfalls(opening: Opening, rules: Rules) -> tuple[str, ...]:
    """Return which of the figures set a reading stays under (or a sill over): area, width, height, sill.

    The readings are the most the net clear opening can be; with the sash open it
    is usually less.

    References
    ----------
    IRC R310 for the default figures: 5.7 sq ft (5.0 at grade), 24 in high, 20 in wide, sill at most 44 in.

    Examples
    --------
    >>> from solver.lengths import inches
    >>> shortfalls(Opening(label="A", widths=(inches(20),), heights=(inches(41),)), Rules())
    ('area',)
    """
    width, height = min(opening.widths), min(opening.heights)
    found = {
        "area": width * height < square_ticks(least_area(opening, rules)),
        "width": width < rules.escape_width,
        "height": height < rules.escape_height,
        "sill": opening.sill_height is not None and opening.sill_height > rules.escape_sill,
    }
    return tuple(name for name, short in found.items() if short)


def escape_line(opening: Opening, rules: Rules, words: Mapping[int, str]) -> str:
    """Return the arithmetic of an escape opening beside the figures set."""
    width, height = min(opening.widths), min(opening.heights)
    figure = least_area(opening, rules)
    sill = f", sill {words[opening.sill_height]}" if opening.sill_height is not None else ""
    return (
        f"escape opening as read: {words[width]} x {words[height]} = {area_words(width * height, figure)}{sill}; "
        f"figures set: at least {figure}, {words[rules.escape_width]} wide, {words[rules.escape_height]} high, "
        f"sill at most {words[rules.escape_sill]}"
    )


def escape_remarks(opening: Opening, rules: Rules, words: Mapping[int, str]) -> Iterator[Remark]:
    """Yield what to know of an escape opening."""
    yield Remark(
        Kind.CAUTION,
        "escape",
        "Escape opening: the screen must come out from inside without key, tool or special force (IRC R310), and "
        f"everyone who sleeps there should know how. {ask(rules)}",
    )
    if opening.mounting in HARD_TO_RELEASE:
        yield Remark(
            Kind.CAUTION,
            "escape release",
            f"Escape opening with {opening.mounting.value}: these are commonly worked from outside or with a tool; "
            f"choose a mounting that lets go from inside. {ask(rules)}",
        )
    short = shortfalls(opening, rules)
    if short:
        what = " and ".join(("sill over" if name == "sill" else f"{name} under") for name in short)
        yield Remark(
            Kind.CAUTION,
            "escape size",
            f"Escape opening, {what} the figure set for this job: the arithmetic stands with the sizes. The net clear "
            "opening with the sash open is usually smaller still. Screens do not change the opening, but it should be "
            f"looked at. {ask(rules)}",
        )
