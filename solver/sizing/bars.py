"""Cross bars: when a frame needs them, how many, which way they lie and how long they are."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from solver.catalogue import Profile
from solver.lengths import Ticks
from solver.rules import BarAxis, Rules


@dataclass(frozen=True, slots=True)
class Bars:
    """``count`` equal cross bars; ``length`` is 0 and ``line`` empty where there are none."""

    count: int = 0
    length: Ticks = Ticks(0)
    level: bool = True
    line: str = ""


def cross_bars(width: Ticks, height: Ticks, profile: Profile, rules: Rules, words: Mapping[int, str]) -> Bars:
    """Return the cross bars of a frame.

    A frame whose longer side is over ``bar_above`` gets a bar at mid-span of its
    long rails, as long as the inner span between their faces. Very long rails get
    more bars, evenly spaced, so that no stretch of rail is over ``bar_span``.

    References
    ----------
    Common practice, no source; more than one bar is our own rule.

    Examples
    --------
    >>> from solver.frames import Words
    >>> from solver.lengths import Unit, inches
    >>> everyday = Profile(name="5/16", thickness=inches(0, 5, 16), face=inches(0, 3, 4))
    >>> cross_bars(inches(48), inches(60), everyday, Rules(), Words(Unit.INCH)).line
    'cross bar: 60 is over 48; level at mid-height; 48 - 2 x 3/4 faces = 46 1/2'
    """
    longer = max(width, height)
    if longer <= rules.bar_above:
        return Bars()
    level = rules.bar_axis is BarAxis.LEVEL or (rules.bar_axis is BarAxis.ACROSS_LONG and height >= width)
    crossed, spanned = (height, width) if level else (width, height)
    count = max(1, -(-crossed // rules.bar_span) - 1) if rules.bar_span else 1
    length = Ticks(spanned - 2 * profile.face)
    lies = "level" if level else "upright"
    if count == 1:
        where = f"{lies} at {'mid-height' if level else 'mid-width'}"
        name = "cross bar"
    else:
        where = f"{lies}, evenly spaced, the rails unsupported for at most {words[rules.bar_span]}"
        name = f"{count} cross bars"
    line = (
        f"{name}: {words[longer]} is over {words[rules.bar_above]}; {where}; "
        f"{words[spanned]} - 2 x {words[profile.face]} faces = {words[length]}"
    )
    return Bars(count, length, level, line)
