"""Readings of one opening against each other: spread, the odd one out, and diagonals."""

from __future__ import annotations

from collections.abc import Iterator
from math import isqrt

from solver.frames import Words, readings_words
from solver.lengths import Ticks
from solver.openings import Opening
from solver.rules import Rules
from solver.survey.finding import SurveyFinding, SurveyKind
from solver.survey.slips import slips


def reading_findings(opening: Opening, rules: Rules, words: Words) -> Iterator[SurveyFinding]:
    """Yield what the readings of one opening say against each other."""
    for field, readings in (("widths", opening.widths), ("heights", opening.heights)):
        if len(readings) > 1 and max(readings) - min(readings) > rules.spread_warning:
            yield from _spread(opening, field, readings, rules, words)
    if opening.diagonals is not None:
        yield from _diagonals(opening, opening.diagonals, rules, words)


def _spread(
    opening: Opening, field: str, readings: tuple[Ticks, ...], rules: Rules, words: Words
) -> Iterator[SurveyFinding]:
    """Yield what a spread of readings means: a bowed channel, or one reading that cannot be right.

    References
    ----------
    Warn over 1/4 in, stop over 1/2 in: common practice, no source.
    """
    name = field.removesuffix("s")
    spread = Ticks(max(readings) - min(readings))
    seen = f"The {name} readings {readings_words(readings, words)} differ by {words[spread]}."
    if spread <= rules.spread_limit:
        yield SurveyFinding(
            opening=opening.label,
            field=field,
            topic="spread",
            kind=SurveyKind.NOTICE,
            seen=seen,
            why=f"More than {words[rules.spread_warning]} between readings is a bowed channel or a slip.",
            do="Look at the channel, and measure again if it is straight.",
        )
        return
    odd = odd_one_out(readings, rules.spread_warning)
    if odd is None:
        yield SurveyFinding(
            opening=opening.label,
            field=field,
            topic="readings",
            kind=SurveyKind.NOTICE,
            seen=seen,
            why=f"More than {words[rules.spread_limit]} apart, they cannot all be right.",
            do="Measure again, or give the row its own spread_limit if the opening is that crooked.",
        )
        return
    others = [reading for number, reading in enumerate(readings) if number != odd]
    meant = [
        slip
        for slip in slips(readings[odd], words.unit)
        if min(others) - rules.spread_warning <= slip.length <= max(others) + rules.spread_warning
    ]
    yield SurveyFinding(
        opening=opening.label,
        field=field,
        topic="readings",
        kind=SurveyKind.QUESTION if meant else SurveyKind.NOTICE,
        reading=odd,
        seen=seen,
        why=f"{words[readings[odd]]} and the others cannot both be right"
        + (f"; it looks like {meant[0].words}." if meant else "."),
        do=f"Write {meant[0].text}, or measure again." if meant else f"Measure reading {odd + 1} again.",
        proposal=meant[0].text if meant else "",
    )


def odd_one_out(readings: tuple[Ticks, ...], near: Ticks) -> int | None:
    """Return which one reading is away from all others, while those agree within ``near``; None if none is.

    Examples
    --------
    >>> odd_one_out((Ticks(100), Ticks(101), Ticks(300)), Ticks(5)), odd_one_out((Ticks(1), Ticks(9)), Ticks(5))
    (2, None)
    """
    if len(readings) < 3:
        return None
    by_size = sorted(range(len(readings)), key=lambda number: readings[number])
    for odd, rest in ((by_size[-1], by_size[:-1]), (by_size[0], by_size[1:])):
        if readings[rest[-1]] - readings[rest[0]] <= near:
            return odd
    return None


def _diagonals(opening: Opening, diagonals: tuple[Ticks, Ticks], rules: Rules, words: Words) -> Iterator[SurveyFinding]:
    """Compare the diagonals with each other and with the sides.

    In any parallelogram the squares of the diagonals add up to twice those of the
    sides; racked by s, a rectangle's diagonals differ by about 2 W s / sqrt(W2 + H2).
    """
    width, height = min(opening.widths), min(opening.heights)
    expected = isqrt(width * width + height * height)
    first, second = diagonals
    mean = isqrt((first * first + second * second) // 2)
    if abs(mean - expected) > rules.diagonal_misfit:
        yield SurveyFinding(
            opening=opening.label,
            field="diagonals",
            topic="diagonals",
            kind=SurveyKind.NOTICE,
            seen=f"The diagonals read {words[first]} and {words[second]}; {words[width]} x {words[height]} has about "
            f"{_about(expected, words)}.",
            why="Width, height and diagonals cannot all be right.",
            do="Measure the diagonals and both sides again.",
        )
        return
    difference = Ticks(abs(first - second))
    if difference >= rules.square_warning > 0:
        racked = Ticks(difference * expected // (2 * width))
        yield SurveyFinding(
            opening=opening.label,
            field="diagonals",
            topic="square",
            kind=SurveyKind.NOTICE,
            seen=f"The diagonals {words[first]} and {words[second]} differ by {words[difference]}.",
            why=f"The opening is racked by about {_about(racked, words)}: a square screen leaves a gap at the corners.",
            do="Measure again, and plan for a deeper overlap."
            if difference >= rules.square_review
            else "Check the fit at the corners.",
        )


def _about(length: int, words: Words) -> str:
    """Return a length to the nearest sixteenth or millimetre: it was worked out, not read."""
    step = 508 if words.unit.value == "in" else 320
    return words[(length + step // 2) // step * step]
