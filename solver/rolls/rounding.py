"""Rows that whole numbers of crosscuts must satisfy though fractions need not: sums of known rows, rounded exactly."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from solver.rolls.demand import Whole
from solver.rolls.master import Floats

FRACTION = 1 << 22
"""Multipliers are whole multiples of one over this."""
FINE = 20
"""Bits of the rounded sum before the slacks are put back in."""
LARGEST = 1 << 12
"""Largest share of a finished row, so that sums of many stay within 64 bits."""
LEAST_BROKEN = 1.0 / 64
"""Fractions nearer than this to a whole number give no row of use."""


@dataclass(frozen=True, slots=True)
class Known:
    """What is known of whole numbers x of crosscuts: rows, room on each width, least and most of each.

    Attributes
    ----------
    held, demand
        ``x @ held >= demand``, shapes (n_columns, n_rows) and (n_rows,).
    length, width, room
        Crosscuts of a width take no more than its room.
    group
        Number of each crosscut's group, shape (n_columns,).
    low, high
        Least and most of each crosscut, shape (n_columns,).
    group_low, group_high
        Least and most of the crosscuts of a group together.
    """

    held: Whole
    demand: Whole
    length: Whole
    width: Whole
    room: Whole
    group: Whole
    low: Whole
    high: Whole
    group_low: Whole
    group_high: Whole


@dataclass(frozen=True, slots=True)
class Sum:
    """Multipliers of the rows, rooms and groups, and which crosscuts and groups are counted down from the most."""

    rows: Floats
    rooms: Floats
    groups: Floats
    from_high: NDArray[np.bool_]
    group_from_high: NDArray[np.bool_]


def rounded_row(known: Known, total: Sum) -> tuple[Whole, int] | None:
    """Return whole numbers g and r such that ``g @ x >= r`` for all x of what is known; None if the sum is whole.

    Every row gets its surplus, every room its rest, so that the sum is an equation
    of whole numbers that are never under 0; with the fractions f of its terms and f0
    of its right side, the sum of min(f / f0, (1 - f) / (1 - f0)) times the numbers is
    1 or more. Multipliers of any kind give a true row; all is counted in whole numbers.

    References
    ----------
    Gomory, An algorithm for the mixed integer problem, RAND Corporation (1960);
    Nemhauser, Wolsey, Integer and Combinatorial Optimization (1988), section II.1.7.

    Examples
    --------
    A crosscut holds two blanks of three: the half of ``2 x >= 3`` rounds to ``x >= 2``.

    >>> one, none = np.array([1]), np.array([0])
    >>> known = Known(2 * one[:, None], 3 * one, one, none, 9 * one, none, none, 9 * one, none, 9 * one)
    >>> g, r = rounded_row(known, Sum(np.array([0.5]), none * 0.0, none * 0.0, none > 0, none > 0))
    >>> int(g[0]), r, -(-r // int(g[0]))
    (4096, 8192, 2)
    """
    scale = float(np.abs(total.rows) @ np.abs(known.held).max(axis=0, initial=0))
    scale += float(np.abs(total.rooms).max(initial=0.0)) * float(known.length.max(initial=0))
    scale += float(np.abs(total.groups).max(initial=0.0))
    if not scale < LARGEST:
        # Sums might not fit 64 bits, and would say little.
        return None
    rows, rooms, groups = (np.rint(m * FRACTION).astype(np.int64) for m in (total.rows, total.rooms, total.groups))
    term = known.held @ rows + known.length * rooms[known.width] + groups[known.group]
    right = int(rows @ known.demand) + sum(int(v) * int(r) for v, r in zip(rooms, known.room, strict=True))
    right -= int(term @ np.where(total.from_high, known.high, known.low))
    group_term = -groups
    right -= int(group_term @ np.where(total.group_from_high, known.group_high, known.group_low))
    part = right % FRACTION
    if not FRACTION * LEAST_BROKEN <= part <= FRACTION * (1 - LEAST_BROKEN):
        return None
    shares = [
        _share(np.where(total.from_high, -term, term), part),
        _share(-rows, part),
        _share(rooms, part),
        _share(np.where(total.group_from_high, -group_term, group_term), part),
    ]
    # Shares may be rounded up and the need down: what they count is never under 0.
    bits = max(0, (part * (FRACTION - part)).bit_length() - FINE)
    need = (part * (FRACTION - part)) >> bits
    each, surplus, rest, together = (-((-share) >> bits) for share in shares)
    # Back to the crosscuts alone.
    gives = np.where(total.from_high, -each, each)
    need += int(gives @ np.where(total.from_high, known.high, known.low))
    gives = gives + known.held @ surplus - known.length * rest[known.width]
    need += int(surplus @ known.demand) - sum(int(s) * int(r) for s, r in zip(rest, known.room, strict=True))
    signed = np.where(total.group_from_high, -together, together)
    need += int(signed @ np.where(total.group_from_high, known.group_high, known.group_low))
    gives = gives + signed[known.group]
    unit = max(1, -(-int(np.abs(gives).max(initial=0)) // LARGEST))
    return np.asarray(-((-gives) // unit)), need // unit


def _share(term: Whole, part: int) -> Whole:
    left = term % FRACTION
    return np.asarray(np.where(left <= part, left * (FRACTION - part), (FRACTION - left) * part))
