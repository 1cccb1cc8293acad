"""The largest screen that leftovers would make."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import combinations_with_replacement

from solver.lengths import Ticks
from solver.rules import Rules

RAILS = 4
"""Rails of a screen without a cross bar."""


def largest_frame(
    sticks: Counter[int],
    pieces: Counter[tuple[int, int]],
    *,
    kerf: int,
    corners: int,
    turns: bool,
    rules: Rules,
) -> tuple[Ticks, Ticks] | None:
    """Return width and height of the largest frame without a cross bar, by area, or None if there is none.

    Both sides lie on the shop's tape step and are at least ``plausible_least``;
    no side is over ``bar_above``, so that no cross bar is needed.

    Parameters
    ----------
    sticks
        Usable lengths with their number.
    pieces
        Usable width and length of each piece of mesh, with their number.
    kerf
        What one saw cut takes.
    corners
        How much shorter than its side a rail is.
    turns
        Whether the mesh may be turned.
    rules
        Tape step, blank allowance and the like.

    Examples
    --------
    Four sticks of 30 in and a piece of mesh 40 x 50 in; square-cut corners of 3/4 in:

    >>> from solver.lengths import inches
    >>> found = largest_frame(Counter({inches(30): 4}), Counter({(inches(40), inches(50)): 1}), kerf=0,
    ...                       corners=inches(1, 1, 2), turns=False, rules=Rules())
    >>> found == (inches(31, 1, 2), inches(31, 1, 2))
    True
    """
    # Four rails lie in four sticks at most, and the four longest hold whatever others would.
    longest = sorted(sticks.elements(), reverse=True)[:RAILS]
    step = rules.size_step
    width = -(-rules.plausible_least // step) * step
    best: tuple[int, int, int] | None = None
    while longest and width - corners <= longest[0] and width <= rules.bar_above:
        height = min(_greatest_rail(longest, width - corners, kerf) + corners, rules.bar_above)
        height = min(height, _greatest_blank(width, pieces, turns=turns, rules=rules))
        height -= height % step
        if height >= rules.plausible_least and (best is None or width * height > best[0]):
            best = (width * height, width, height)
        width += step
    return None if best is None else (Ticks(best[1]), Ticks(best[2]))


def _greatest_rail(sticks: Sequence[int], rail: int, kerf: int) -> int:
    """Return the longest other rail of which two can be cut beside two of ``rail``; below 0 if there is none."""
    return max((max(rooms[1], (rooms[0] - kerf) // 2) for rooms in _rooms_after(sticks, rail + kerf, kerf)), default=-1)


def _rooms_after(sticks: Sequence[int], taken: int, kerf: int) -> Iterator[list[int]]:
    """Yield what each way of cutting two rails leaves of the sticks, longest first; two rooms at least."""
    for one, other in combinations_with_replacement(range(len(sticks)), 2):
        rooms = [*sticks, 0]
        for place in (one, other):
            rooms[place] -= taken
        if rooms[one] + kerf >= 0 and rooms[other] + kerf >= 0:
            yield sorted(rooms, reverse=True)


def _greatest_blank(width: int, pieces: Counter[tuple[int, int]], *, turns: bool, rules: Rules) -> int:
    """Return the greatest frame height whose blank one of the pieces holds; below 0 if there is none."""
    margin = 2 * rules.blank_allowance
    table = rules.longest_crosscut or None
    heights = [-1]
    for across, along in pieces:
        room = along - rules.crosscut_extra
        room = room if table is None else min(room, table)
        if width + margin <= across:
            heights.append(room - margin)
        if turns and width + margin <= room:
            heights.append(across - margin)
    return max(heights)
