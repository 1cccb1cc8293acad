"""How deep the deepest channel must be for a sprung screen to be lifted in."""

from __future__ import annotations

from solver.lengths import Ticks
from solver.openings import Mounting
from solver.rules import Rules

SPRUNG = frozenset({Mounting.SPRINGS, Mounting.LEAVES})


def needed_depth(added: Ticks, mounting: Mounting, rules: Rules) -> Ticks:
    """Return how deep the deepest channel must be to swallow overlap, opposite overlap and compressed spring.

    A wire spring lies flat in the frame and takes no depth.

    References
    ----------
    Geometry: the screen is pushed into the deep channel until its other edge clears the opposite lip.

    Examples
    --------
    >>> from solver.lengths import inches
    >>> needed_depth(inches(0, 1, 4), Mounting.LEAVES, Rules()) == inches(0, 5, 16)
    True
    """
    return Ticks(added + (rules.leaf_depth if mounting is Mounting.LEAVES else 0))
