"""An opening that differs from its own type or stack, and what would explain it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from solver.frames import Words, counting_reading
from solver.frames.sides import exact_change
from solver.lengths import Ticks, Unit, inches
from solver.openings import Datum, Opening
from solver.rules import Rules
from solver.survey.finding import SurveyFinding, SurveyKind
from solver.survey.peers import Usual
from solver.survey.slips import slips

GLASS_IS_SMALLER_BY = (inches(1), inches(8))
_CLEARED = {Datum.CHANNEL_BOTTOMS, Datum.DEEP_CHANNEL, Datum.STOPS}


def deviation_findings(opening: Opening, usual: Usual, rules: Rules, words: Words) -> Iterator[SurveyFinding]:
    """Yield how an opening differs from those it should be like, best explanation first.

    References
    ----------
    Over 1/2 in from the usual size of the type: common practice, no source.
    """
    width = counting_reading(opening.widths, opening.width_datum)
    height = counting_reading(opening.heights, opening.height_datum)
    short_by, low_by = Ticks(usual.width - width), Ticks(usual.height - height)
    odd_width, odd_height = abs(short_by) > usual.width_allowance, abs(low_by) > usual.height_allowance
    if not odd_width and not odd_height:
        yield from _deducted(opening, usual, short_by, low_by, rules, words)
        return
    if odd_width and odd_height and _swapped(width, height, usual):
        yield from _swap_questions(opening, usual, words)
        return
    least, most = GLASS_IS_SMALLER_BY
    if odd_width and odd_height and least <= short_by <= most and least <= low_by <= most:
        yield _glass(opening, usual, short_by, low_by, words)
        return
    if odd_width:
        yield from _odd_side(opening, "widths", opening.widths, usual.width, usual.width_allowance, usual, words)
    if odd_height:
        yield from _odd_side(opening, "heights", opening.heights, usual.height, usual.height_allowance, usual, words)


def _swapped(width: Ticks, height: Ticks, usual: Usual) -> bool:
    return abs(height - usual.width) <= usual.width_allowance and abs(width - usual.height) <= usual.height_allowance


def _swap_questions(opening: Opening, usual: Usual, words: Words) -> Iterator[SurveyFinding]:
    """Ask for every reading to change places; with unequal numbers of readings, the whole field is asked about."""
    pairs = (("widths", opening.widths, opening.heights), ("heights", opening.heights, opening.widths))
    even = len(opening.widths) == len(opening.heights)
    for field, readings, others in pairs:
        for number, _ in enumerate(readings if even else readings[:1]):
            yield SurveyFinding(
                opening=opening.label,
                field=field,
                topic="swapped",
                kind=SurveyKind.QUESTION if even else SurveyKind.NOTICE,
                reading=number if even else None,
                seen=f"{_size(opening, words)}, and {usual.group} usually measures {_usual_size(usual, words)}.",
                why="Width and height look swapped: the frame would be built lying on its side.",
                do="Write the width under width and the height under height, or confirm that this one lies.",
                proposal=written(others[number], words.unit) if even else "",
            )


def _glass(opening: Opening, usual: Usual, short_by: Ticks, low_by: Ticks, words: Mapping[int, str]) -> SurveyFinding:
    return SurveyFinding(
        opening=opening.label,
        field="widths",
        topic="glass size",
        kind=SurveyKind.NOTICE,
        seen=f"{_size(opening, words)}, both under the usual {_usual_size(usual, words)} of {usual.group}, "
        f"by {words[short_by]} and {words[low_by]}.",
        why="The sash or the glass may have been measured instead of the channel: the screen would fall through.",
        do="Measure the channel, from bottom to bottom or between the lips.",
    )


def _deducted(
    opening: Opening, usual: Usual, short_by: Ticks, low_by: Ticks, rules: Rules, words: Mapping[int, str]
) -> Iterator[SurveyFinding]:
    """Where half of a type agree to the tick, one that is smaller by just the clearance on both sides stands out."""
    if not usual.steady or not {opening.width_datum, opening.height_datum} <= _CLEARED:
        return
    clearance = -exact_change(opening.width_datum, rules)
    if short_by == clearance and low_by == -exact_change(opening.height_datum, rules) and clearance > 0:
        yield SurveyFinding(
            opening=opening.label,
            field="widths",
            topic="already deducted",
            kind=SurveyKind.NOTICE,
            seen=f"{_size(opening, words)}: just the clearance under the usual {_usual_size(usual, words)} of "
            f"{usual.group}.",
            why="The clearance may have been taken off already; taken off twice, the screen rattles or drops out.",
            do="If this is the finished size, write finished size as what was measured.",
        )


def _odd_side(
    opening: Opening,
    field: str,
    readings: tuple[Ticks, ...],
    median: Ticks,
    allowance: Ticks,
    usual: Usual,
    words: Words,
) -> Iterator[SurveyFinding]:
    name = field.removesuffix("s")
    for number, reading in enumerate(readings):
        if abs(reading - median) <= allowance:
            continue
        meant = next((slip for slip in slips(reading, words.unit) if abs(slip.length - median) <= allowance), None)
        if meant is not None:
            yield SurveyFinding(
                opening=opening.label,
                field=field,
                topic="unit",
                kind=SurveyKind.QUESTION,
                reading=number,
                seen=f"The {name} reads {words[reading]}, and {usual.group} usually measures {words[median]}.",
                why=f"It looks like {meant.words}: the screen would be built in the wrong size.",
                do=f"Write {meant.text}, or the reading with its unit.",
                proposal=meant.text,
            )
            continue
        slip = _whole_inches(reading, median, words)
        yield SurveyFinding(
            opening=opening.label,
            field=field,
            topic="differs",
            kind=SurveyKind.NOTICE,
            reading=number,
            seen=f"The {name} reads {words[reading]}, and the {usual.count} of {usual.group} usually measure "
            f"{words[median]}.",
            why=f"It differs by {words[abs(reading - median)]}{slip}.",
            do="Measure again before cutting.",
        )


def _whole_inches(reading: Ticks, median: Ticks, words: Words) -> str:
    """Return what a difference of just one or ten marks of the tape suggests."""
    marks = (inches(1), inches(10), inches(12)) if words.unit is Unit.INCH else (Ticks(3_200), Ticks(32_000))
    near = any(abs(abs(reading - median) - mark) <= inches(0, 1, 8) for mark in marks)
    return ", about one figure of the tape: a misread or mistyped figure" if near else ""


def written(length: Ticks, unit: Unit) -> str:
    """Return a length as it would be written into a cell, with its unit."""
    return f"{Words(unit)[length]} {unit.value}"


def _size(opening: Opening, words: Mapping[int, str]) -> str:
    width = counting_reading(opening.widths, opening.width_datum)
    height = counting_reading(opening.heights, opening.height_datum)
    return f"It reads {words[width]} wide and {words[height]} high"


def _usual_size(usual: Usual, words: Mapping[int, str]) -> str:
    return f"{words[usual.width]} x {words[usual.height]}"
