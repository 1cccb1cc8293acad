"""Crosscuts onto rolls: which lengths go on which roll, by exact subset sums on big whole numbers."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import gcd

BITS_IN_ALL = 400_000_000
"""Most bits of subset sums kept at a time; beyond that fewer lengths take part in a filling."""


@dataclass(frozen=True, slots=True)
class Filling:
    """``copies`` rolls of offer ``offer`` filled alike: ``taken`` = pairs (length, how many)."""

    offer: int
    taken: tuple[tuple[int, int], ...]
    copies: int


def fullest(lengths: Sequence[int], counts: Sequence[int], room: int) -> list[int]:
    """Return how many of each length fill ``room`` the fullest; among equals the longest lengths go first.

    ``lengths`` fall. The short lengths that stay behind fill later rolls better.

    Examples
    --------
    >>> fullest((50, 30, 20), (1, 2, 3), 100)
    [1, 1, 1]
    """
    if not lengths:
        return []
    if sum(length * count for length, count in zip(lengths, counts, strict=True)) <= room:
        return list(counts)
    unit = gcd(*lengths)
    sizes, space = [length // unit for length in lengths], room // unit
    if len(sizes) * space > BITS_IN_ALL:
        return _fewer(lengths, counts, room)
    mask = (1 << (space + 1)) - 1
    stages = [1]
    for size, count in zip(reversed(sizes), reversed(counts), strict=True):
        reach, left, lot = stages[-1], min(count, space // size), 1
        while left > 0:
            lot = min(lot, left)
            reach |= (reach << (lot * size)) & mask
            left, lot = left - lot, lot * 2
        stages.append(reach)
    goal = stages[-1].bit_length() - 1
    taken = []
    for place, (size, count) in enumerate(zip(sizes, counts, strict=True)):
        before = stages[len(sizes) - 1 - place]
        take = min(count, goal // size)
        while not (before >> (goal - take * size)) & 1:
            take -= 1
        taken.append(take)
        goal -= take * size
    return taken


def _fewer(lengths: Sequence[int], counts: Sequence[int], room: int) -> list[int]:
    """Fill with the longest first and do the exact sum only for the last few lengths."""
    taken: list[int] = []
    left = room
    keep = max(2, BITS_IN_ALL // max(room // gcd(*lengths), 1))
    for place, (length, count) in enumerate(zip(lengths, counts, strict=True)):
        if len(lengths) - place <= keep:
            return taken + fullest(lengths[place:], counts[place:], left)
        # Leave about two crosscuts of room for the exact sum.
        take = max(0, min(count, (left - 2 * lengths[0]) // length))
        taken.append(take)
        left -= take * length
    return taken


def packed(lengths: dict[int, int], rolls: Sequence[tuple[int, int, int]]) -> tuple[list[Filling], dict[int, int]]:
    """Fill rolls one after the other and return the fillings and what found no room.

    Parameters
    ----------
    lengths
        How many crosscuts there are of each length.
    rolls
        Rolls in the order they are filled, as (offer, length, how many).
    """
    left = {length: count for length, count in sorted(lengths.items(), reverse=True) if count}
    fillings = []
    for offer, length, copies in rolls:
        while copies and left:
            sizes = [size for size in left if size <= length]
            if not sizes:
                break
            taken = fullest(sizes, [left[size] for size in sizes], length)
            pairs = tuple((size, take) for size, take in zip(sizes, taken, strict=True) if take)
            times = min([copies] + [left[size] // take for size, take in pairs])
            fillings.append(Filling(offer=offer, taken=pairs, copies=times))
            copies -= times
            for size, take in pairs:
                left[size] -= take * times
                if not left[size]:
                    del left[size]
    return fillings, left


@dataclass(slots=True)
class _Group:
    """Equal rolls filled alike so far."""

    offer: int
    room: int
    copies: int
    taken: tuple[tuple[int, int], ...] = ()

    def split(self, length: int, each: int, copies: int) -> _Group:
        taken = (*self.taken, (length, each)) if each else self.taken
        return _Group(self.offer, self.room - each * length, copies, taken)


def first_fit(lengths: dict[int, int], rolls: Sequence[tuple[int, int, int]]) -> tuple[list[Filling], dict[int, int]]:
    """Put each length, longest first, on the first roll with room; otherwise as ``packed``.

    Examples
    --------
    >>> first_fit({60: 1, 50: 2, 40: 1}, [(0, 100, 9)])[0]
    [Filling(offer=0, taken=((60, 1), (40, 1)), copies=1), Filling(offer=0, taken=((50, 2),), copies=1)]
    """
    groups = [_Group(offer, length, copies) for offer, length, copies in rolls if copies]
    left: dict[int, int] = {}
    for length, count in sorted(lengths.items(), reverse=True):
        need = count
        after: list[_Group] = []
        for group in groups:
            each = min(group.room // length, need)
            if not each:
                after.append(group)
                continue
            full = min(group.copies, need // each)
            need -= full * each
            after.append(group.split(length, each, full))
            rest = group.copies - full
            if rest and need:
                after.append(group.split(length, need, 1))
                rest, need = rest - 1, 0
            if rest:
                after.append(group.split(length, 0, rest))
        groups = after
        if need:
            left[length] = need
    fillings = [Filling(offer=g.offer, taken=g.taken, copies=g.copies) for g in groups if g.taken]
    return fillings, left
