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
    if len(readings) == 1:
        return readings[0]
    return max(readings) if datum in _LARGEST else min(readings)


def readings_words(readings: tuple[Ticks, ...], words: Mapping[int, str]) -> str:
    """Return readings as a list in words, in the order taken."""
    return ", ".join(words[reading] for reading in readings)


def frame_size(reading: Ticks, datum: Datum, rules: Rules) -> Ticks:
    """Return the side of the frame that belongs to the reading that counts, without words.

    Examples
    --------
    >>> from solver.lengths import inches
    >>> frame_size(inches(47, 3, 8), Datum.CHANNEL_BOTTOMS, Rules()) == inches(47, 1, 4)
    True
    """
    exact = reading + exact_change(datum, rules)
    if datum in AS_READ:
        return Ticks(exact)
    step = rules.size_step
    return Ticks((-(-exact // step) if datum is Datum.FACE else exact // step) * step)


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
    size = frame_size(reading, datum, rules)
    said = ""
    if len(set(readings)) > 1:
        which = "largest" if datum.counts is Counts.LARGEST else "smallest"
        said = f"{which} of {readings_words(readings, words)}: "
    if datum in AS_READ:
        what = "as the old screen" if datum is Datum.OLD_SCREEN else "finished size"
        return FrameSide(size, f"{said}{words[reading]} {what}, nothing taken off", Ticks(0))
    change = exact_change(datum, rules)
    exact = reading + change
    if datum in _OVERLAPPING:
        line = f"{said}{words[reading]} + 2 x {words[change // 2]} overlap = {words[exact]}"
    else:
        line = f"{said}{words[reading]} - {words[-change]} clearance = {words[exact]}"
    if size != exact:
        line += f"; {'up' if size > exact else 'down'} to a full {words[rules.size_step]} = {words[size]}"
    return FrameSide(size, line, Ticks(size - reading))


def exact_change(datum: Datum, rules: Rules) -> int:
    """Return what is added to a reading (negative: taken off) before rounding."""
    match datum:
        case Datum.CHANNEL_LIPS:
            return 2 * rules.lip_overlap
        case Datum.FACE:
            return 2 * rules.face_overlap
        case Datum.CHANNEL_BOTTOMS:
            return -rules.bottoms_clearance
        case Datum.DEEP_CHANNEL:
            return -rules.deep_clearance
        case Datum.STOPS:
            return -rules.stops_clearance
        case Datum.OLD_SCREEN | Datum.FINISHED:
            return 0


_LARGEST = frozenset(datum for datum in Datum if datum.counts is Counts.LARGEST)
AS_READ = frozenset({Datum.OLD_SCREEN, Datum.FINISHED})
_OVERLAPPING = frozenset({Datum.CHANNEL_LIPS, Datum.FACE})
