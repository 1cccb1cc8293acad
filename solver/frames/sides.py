"""One side of the frame from the readings of one side of the opening."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from solver.lengths import Ticks
from solver.openings import Counts, Datum
from solver.rules import Rules


@dataclass(frozen=True, slots=True)
class FrameSide:
    """Width or height of a frame; ``line`` says how it came about, ``added`` how much it is over the reading."""

    size: Ticks
    line: str
    added: Ticks


def counting_reading(readings: tuple[Ticks, ...], datum: Datum) -> Ticks:
    """Return the reading that counts.

    Where a size counts as read and readings differ all the same, it is the smallest.

    Examples
    --------
    >>> counting_reading((Ticks(8), Ticks(9)), Datum.FACE)
    9
    """
    return max(readings) if datum.counts is Counts.LARGEST else min(readings)


def readings_words(readings: tuple[Ticks, ...], words: Mapping[int, str]) -> str:
    """Return readings as a list in words, in the order taken."""
    return ", ".join(words[reading] for reading in readings)


def frame_side(readings: tuple[Ticks, ...], datum: Datum, rules: Rules, words: Mapping[int, str]) -> FrameSide:
    """Return the side of the frame that belongs to the readings of one side.

    Clearances and overlaps are taken off or added once, by what was measured
    from what to what. In a channel or between stops the size is rounded down to
    the shop's step, on a face up; old screens and finished sizes stand as read.

    Parameters
    ----------
    readings
        In the order taken, at least one.
    datum
        What they were measured from and to.
    rules
        The rules in force for this opening.
    words
        Lengths as texts in the unit of the job.

    References
    ----------
    Common practice, no source; each figure is a rule.

    Examples
    --------
    >>> from solver.frames.words import Words
    >>> from solver.lengths import Unit, inches
    >>> frame_side((inches(47, 3, 8),), Datum.CHANNEL_BOTTOMS, Rules(), Words(Unit.INCH)).line
    '47 3/8 - 1/8 clearance = 47 1/4'
    """
    reading = counting_reading(readings, datum)
    exact, change = _changed(reading, datum, rules, words)
    said = ""
    if len(set(readings)) > 1:
        which = "largest" if datum.counts is Counts.LARGEST else "smallest"
        said = f"{which} of {readings_words(readings, words)}: "
    if datum in {Datum.OLD_SCREEN, Datum.FINISHED}:
        return FrameSide(exact, f"{said}{change}", Ticks(0))
    line = f"{said}{words[reading]} {change} = {words[exact]}"
    up = datum is Datum.FACE
    size = Ticks((-(-exact // rules.size_step) if up else exact // rules.size_step) * rules.size_step)
    if size != exact:
        line += f"; {'up' if up else 'down'} to a full {words[rules.size_step]} = {words[size]}"
    return FrameSide(size, line, Ticks(size - reading))


def _changed(reading: Ticks, datum: Datum, rules: Rules, words: Mapping[int, str]) -> tuple[Ticks, str]:
    """Return the exact frame side and the words between reading and result."""
    match datum:
        case Datum.CHANNEL_LIPS:
            return Ticks(reading + 2 * rules.lip_overlap), f"+ 2 x {words[rules.lip_overlap]} overlap"
        case Datum.FACE:
            return Ticks(reading + 2 * rules.face_overlap), f"+ 2 x {words[rules.face_overlap]} overlap"
        case Datum.CHANNEL_BOTTOMS:
            return Ticks(reading - rules.bottoms_clearance), f"- {words[rules.bottoms_clearance]} clearance"
        case Datum.DEEP_CHANNEL:
            return Ticks(reading - rules.deep_clearance), f"- {words[rules.deep_clearance]} clearance"
        case Datum.STOPS:
            return Ticks(reading - rules.stops_clearance), f"- {words[rules.stops_clearance]} clearance"
        case Datum.OLD_SCREEN:
            return reading, f"{words[reading]} as the old screen, nothing taken off"
        case Datum.FINISHED:
            return reading, f"{words[reading]} finished size, nothing taken off"
