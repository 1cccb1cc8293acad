"""What the readings of one side say about each other: spread, and finished sizes that are not one number."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from solver.frames import FrameSide, readings_words
from solver.lengths import Ticks
from solver.openings import Counts, Datum
from solver.plan import Kind
from solver.rules import Rules
from solver.sizing.remarks import Fault, Remark


def reading_faults(
    name: str, readings: tuple[Ticks, ...], datum: Datum, side: FrameSide, rules: Rules, words: Mapping[int, str]
) -> Iterator[Fault]:
    """Yield what in the readings of a side stops the opening.

    References
    ----------
    Stop over 1/2 in: common practice, no source.
    """
    spread = Ticks(max(readings) - min(readings))
    if datum is Datum.FINISHED and spread:
        yield Fault(
            f"{name}s",
            f"a finished {name} is one number, here are {readings_words(readings, words)}; write the one wanted",
        )
    elif spread > rules.spread_limit:
        yield Fault(
            f"{name}s",
            f"the {name} readings {readings_words(readings, words)} differ by {words[spread]}, more than "
            f"{words[rules.spread_limit]}; measure again, or, if the opening is that crooked, "
            "give this row its own spread_limit",
        )
    if side.size <= 0:
        yield Fault(f"{name}s", f"nothing is left of the {name}: {side.line}; measure again and write it with its unit")


def spread_remarks(
    name: str, readings: tuple[Ticks, ...], datum: Datum, rules: Rules, words: Mapping[int, str]
) -> Iterator[Remark]:
    """Yield a notice if the readings of a side differ by more than a shop lets pass unsaid."""
    if max(readings) - min(readings) > rules.spread_warning:
        which = "largest" if datum.counts is Counts.LARGEST else "smallest"
        yield Remark(
            Kind.REVIEW,
            "spread",
            f"The {name} readings differ by more than {words[rules.spread_warning]}; the {which} counts. "
            "Look for a slip or a bowed channel before cutting.",
        )


def square_remarks(diagonals: tuple[Ticks, Ticks], rules: Rules, words: Mapping[int, str]) -> Iterator[Remark]:
    """Yield a notice if the diagonals say that the opening is racked.

    References
    ----------
    Warn at 1/8 in, review at 1/4 in: common practice, no source.
    """
    difference = abs(diagonals[0] - diagonals[1])
    if difference >= rules.square_review > 0:
        yield Remark(
            Kind.REVIEW,
            "square",
            f"The diagonals differ by {words[rules.square_review]} or more: the opening is out of square and a "
            "square screen will leave gaps at the corners. Measure again, or plan for a deeper overlap.",
        )
    elif difference >= rules.square_warning > 0:
        yield Remark(
            Kind.NOTICE,
            "square",
            f"The diagonals differ by {words[rules.square_warning]} or more: check the fit at the corners.",
        )
