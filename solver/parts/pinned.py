"""Which copies of a rail or blank are cut already."""

from __future__ import annotations

from collections import defaultdict

from solver.pieces import Place
from solver.plan import Rail, Screen
from solver.problem import Problem


class PinnedCopies:
    """Hands the pinned pieces of a job out, each once: a screen may have several cross bars alike."""

    def __init__(self, problem: Problem) -> None:
        self._rails: dict[tuple[str, Place, int], list[int]] = defaultdict(list)
        for rail in problem.pinned_rails:
            self._rails[rail.opening, rail.place, rail.length].append(rail.copy)
        self._blanks: dict[tuple[str, int, int], list[int]] = defaultdict(list)
        for blank in problem.pinned_blanks:
            self._blanks[blank.opening, blank.width, blank.height].append(blank.copy)

    def rail_copies(self, opening: str, rail: Rail) -> tuple[int, ...]:
        """Return the copies for which a rail of this place and length is cut, ascending; of equal rails the first."""
        if not self._rails:
            return ()
        key = (opening, rail.place, rail.length)
        copies = sorted(set(self._rails.get(key, ())))
        for copy in copies:
            self._rails[key].remove(copy)
        return tuple(copies)

    def blank_copies(self, screen: Screen) -> tuple[int, ...]:
        """Return the copies of a screen whose blank is cut, ascending."""
        return tuple(sorted(self._blanks.get((screen.opening, screen.blank_width, screen.blank_height), ())))
