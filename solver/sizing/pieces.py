"""Frame to pieces: rails by corner type, mesh blank and spline, with their arithmetic."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache

from solver.catalogue import Corner, Profile
from solver.frames import FrameSide
from solver.lengths import TICKS_PER_SIXTY_FOURTH, Ticks, Unit, length_text, mm
from solver.plan import Place, Rail
from solver.rules import Rules


@dataclass(frozen=True, slots=True)
class SidePieces:
    """What one side of the frame gives: the length of its two rails and of the mesh blank along it."""

    rail: Ticks
    blank: Ticks
    lines: tuple[str, str]


@lru_cache(maxsize=65_536)
def rail(place: Place, length: Ticks) -> Rail:
    """Return a rail; equal rails are one record, which keeps a large job small."""
    return Rail(place=place, length=length)


def side_pieces(name: str, side: FrameSide, profile: Profile, rules: Rules, words: Mapping[int, str]) -> SidePieces:
    """Return the rails and the blank along one side (``name`` is width or height).

    Square-cut rails meet plastic corners, each of which takes up one corner leg of
    the frame at either end. Mitred rails run to the frame's corners: long point to
    long point they are as long as the frame. The blank reaches ``blank_allowance``
    beyond the outside of the frame on each side.

    References
    ----------
    Common practice, no source.

    Examples
    --------
    >>> from solver.frames import Words
    >>> from solver.lengths import inches
    >>> everyday = Profile(
    ...     name="5/16", thickness=inches(0, 5, 16), face=inches(0, 3, 4), corner_leg=inches(0, 3, 4)
    ... )
    >>> side = FrameSide(inches(47, 1, 4), "47 3/8 - 1/8 clearance = 47 1/4", Ticks(0))
    >>> for line in side_pieces("height", side, everyday, Rules(), Words(Unit.INCH)).lines:
    ...     print(line)
    height: 47 3/8 - 1/8 clearance = 47 1/4; - 2 x 3/4 corners = 45 3/4
    mesh height: 47 1/4 + 2 x 1 = 49 1/4
    """
    if profile.corner is Corner.MITRED:
        length, cut = side.size, f"mitred rails {words[side.size]}, long point to long point"
    else:
        length = Ticks(side.size - 2 * profile.corner_leg)
        cut = f"- 2 x {words[profile.corner_leg]} corners = {words[length]}"
    blank = Ticks(side.size + 2 * rules.blank_allowance)
    mesh = f"mesh {name}: {words[side.size]} + 2 x {words[rules.blank_allowance]} = {words[blank]}"
    return SidePieces(length, blank, (f"{name}: {side.line}; {cut}", mesh))


def spline_length(width: Ticks, height: Ticks, rules: Rules, words: Mapping[int, str], unit: Unit) -> tuple[Ticks, str]:
    """Return the spline of a frame, rounded up to a whole tick, and its arithmetic.

    References
    ----------
    Common practice, no source: 2 (W + H) x 1.05, not stretched.

    Examples
    --------
    >>> from solver.frames import Words
    >>> from solver.lengths import inches
    >>> spline_length(inches(32, 5, 8), inches(41, 1, 4), Rules(), Words(Unit.INCH), Unit.INCH)[1]
    'spline: 2 x (32 5/8 + 41 1/4) + 5 % = 155 9/64, rounded up'
    """
    outline = 2 * (width + height)
    length = Ticks(-(-outline * (1000 + rules.spline_extra) // 1000))
    step = TICKS_PER_SIXTY_FOURTH if unit is Unit.INCH else mm(1)
    shown = Ticks(-(-length // step) * step)
    share = f"{Decimal(rules.spline_extra) / 10:f}"
    total = f"{length_text(shown, unit)}{', rounded up' if shown != length else ''}"
    return length, f"spline: 2 x ({words[width]} + {words[height]}) + {share} % = {total}"
