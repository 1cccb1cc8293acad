"""What the offcut of a stick is worth when equally cheap plans are compared."""

from __future__ import annotations

from dataclasses import dataclass

from solver.sticks.grid import Column, Grid

_MOST = 100
"""Offcuts longer than so many useful lengths are worth no more."""


@dataclass(frozen=True, kw_only=True, slots=True)
class OffcutWorth:
    """A scale for offcuts, in the problem's length unit.

    ``useful`` is the shortest offcut worth keeping. Where ``keeps`` is False
    every offcut is worth nothing.
    """

    useful: int
    keeps: bool = True

    def rough(self, offcut: int) -> int:
        """Return the worth by which plans are ranked: one long offcut beats two short ones.

        A useful offcut gains the square of the useful lengths it holds. One that
        is too short to keep loses a point for each quarter of the useful length,
        so slivers count nothing and what is almost useful counts most against.

        Examples
        --------
        >>> [OffcutWorth(useful=12).rough(offcut) for offcut in (2, 11, 12, 24)]
        [0, -3, 4, 16]
        """
        if not self.keeps:
            return 0
        if offcut < self.useful:
            return -(4 * offcut // self.useful)
        return 4 * min(_MOST, offcut // self.useful) ** 2

    def fine(self, offcut: int) -> int:
        """Return the worth that tells two offcuts of one rough worth apart.

        Examples
        --------
        >>> [OffcutWorth(useful=12).fine(offcut) for offcut in (2, 11, 12, 24)]
        [4, 121, 144, 576]
        """
        return min(12 * _MOST, 12 * offcut // self.useful) ** 2 if self.keeps else 0


def offcut_of(grid: Grid, column: Column) -> int:
    """Return what is left of a stick cut to a column, in the problem's length unit."""
    size, pattern = column
    problem = grid.problem
    member = grid.sizes[size].members[0]
    length = problem.stock[member].length if member >= 0 else problem.lengths[0]
    return max(0, length - sum((problem.lengths[i] + problem.kerf) * times for i, times in pattern))
