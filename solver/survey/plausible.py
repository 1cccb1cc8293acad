"""Sides, proportions and areas that no window has, and the unit that would mend them."""

from __future__ import annotations

from collections.abc import Iterator

from solver.frames import Words
from solver.lengths import Ticks
from solver.openings import Opening
from solver.rules import Rules, square_ticks
from solver.survey.finding import SurveyFinding, SurveyKind
from solver.survey.slips import Slip, slips


def plausible_findings(opening: Opening, rules: Rules, words: Words) -> Iterator[SurveyFinding]:
    """Yield what cannot be a window as read.

    References
    ----------
    Sides 8 to 96 in, ratio up to 5 to 1, area up to 40 sq ft; under 5 or over 240 in surely a
    unit error: common practice, no source.
    """
    least, most = rules.plausible_least, rules.plausible_most
    if _all_within(opening, least, most):
        yield from _shape(opening, rules, words)
        return
    sides = (("widths", opening.widths, opening.heights), ("heights", opening.heights, opening.widths))
    for field, readings, others in sides:
        for number, reading in enumerate(readings):
            if not rules.sure_least <= reading <= rules.sure_most:
                yield _wrong_unit(opening, field, number, reading, min(others), rules, words)
            elif not least <= reading <= most:
                yield SurveyFinding(
                    opening=opening.label,
                    field=field,
                    topic="unusual",
                    kind=SurveyKind.NOTICE,
                    reading=number,
                    seen=f"The {field.removesuffix('s')} reads {words[reading]}.",
                    why=f"Windows are commonly {words[least]} to {words[most]}.",
                    do="Make sure of the reading and its unit.",
                )


def _all_within(opening: Opening, least: Ticks, most: Ticks) -> bool:
    widths, heights = opening.widths, opening.heights
    return min(widths) >= least and min(heights) >= least and max(widths) <= most and max(heights) <= most


def _wrong_unit(
    opening: Opening, field: str, number: int, reading: Ticks, other: Ticks, rules: Rules, words: Words
) -> SurveyFinding:
    """Ask for the one reading in another unit that would make a window; if several would, propose none."""
    meant = [slip for slip in slips(reading, words.unit) if _makes_a_window(slip, reading, other, rules)]
    texts = list(dict.fromkeys(slip.text for slip in meant))
    one = meant[0] if len({slip.length for slip in meant}) == 1 else None
    size = "under" if reading < rules.sure_least else "over"
    limit = rules.sure_least if reading < rules.sure_least else rules.sure_most
    return SurveyFinding(
        opening=opening.label,
        field=field,
        topic="unit",
        kind=SurveyKind.QUESTION if one else SurveyKind.NOTICE,
        reading=number,
        seen=f"The {field.removesuffix('s')} reads {words[reading]}, {size} {words[limit]}.",
        why=f"It looks like {one.words}." if one else "No window is that size: the unit is surely wrong.",
        do=f"Write {' or '.join(texts)}." if texts else "Measure again and write the reading with its unit.",
        proposal=one.text if one else "",
    )


def _makes_a_window(slip: Slip, reading: Ticks, other: Ticks, rules: Rules) -> bool:
    """Whether the slip gives a plausible side beside the other one, which may have slipped by the same factor."""
    if not rules.plausible_least <= slip.length <= rules.plausible_most:
        return False
    beside = other
    if not rules.sure_least <= other <= rules.sure_most:
        beside = Ticks(other * slip.length // reading)
    return max(slip.length, beside) <= rules.plausible_ratio * min(slip.length, beside)


def _shape(opening: Opening, rules: Rules, words: Words) -> Iterator[SurveyFinding]:
    width, height = min(opening.widths), min(opening.heights)
    large = width * height > _area(rules.plausible_area)
    if large or max(width, height) > rules.plausible_ratio * min(width, height):
        yield SurveyFinding(
            opening=opening.label,
            field="widths",
            topic="unusual",
            kind=SurveyKind.NOTICE,
            seen=f"The opening reads {words[width]} x {words[height]}.",
            why=f"That is larger than {rules.plausible_area}."
            if large
            else f"One side is over {rules.plausible_ratio} times the other.",
            do="Make sure of both readings.",
        )


_AREAS: dict[str, float] = {}


def _area(text: str) -> float:
    """Return an area in square ticks, worked out once; close enough to say that something is large."""
    if text not in _AREAS:
        _AREAS[text] = float(square_ticks(text))
    return _AREAS[text]
