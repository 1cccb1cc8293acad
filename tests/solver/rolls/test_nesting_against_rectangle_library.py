"""On one strip, three stages and turning: never longer than a general-purpose rectangle library's guillotine modes.

The library is rectpack (Apache-2.0), used in tests only. It may cut in more stages than three.
"""

from random import Random

import pytest

from solver.limits import Limits
from solver.rolls import nest
from solver.rolls.model import Blank, RollNesting, RollWidth

rectpack = pytest.importorskip("rectpack")

MODES = ("GuillotineBssfSas", "GuillotineBlsfSas", "GuillotineBafSas", "GuillotineBssfLas", "GuillotineBafLas")


def library_length(problem: RollNesting) -> int:
    """Return the least length the library needs, over its modes and ways to sort."""
    best = sum(blank.along * blank.count for blank in problem.blanks)
    for mode in MODES:
        for sorting in (rectpack.SORT_AREA, rectpack.SORT_LSIDE, rectpack.SORT_SSIDE):
            packer = rectpack.newPacker(
                mode=rectpack.PackingMode.Offline, pack_algo=getattr(rectpack, mode), sort_algo=sorting, rotation=True
            )
            for blank in problem.blanks:
                for _ in range(blank.count):
                    packer.add_rect(blank.across, blank.along)
            packer.add_bin(problem.rolls[0].width, best)
            packer.pack()
            placed = packer.rect_list()
            if len(placed) == sum(blank.count for blank in problem.blanks):
                best = min(best, max(y + height for _, _, y, _, height, _ in placed))
    return best


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(2))
def test_a_strip_is_no_longer_than_the_librarys(seed: int) -> None:
    chance = Random(seed)
    blanks = tuple(
        Blank(across=chance.randint(14, 40), along=chance.randint(18, 60), count=chance.randint(1, 4), turns=True)
        for _ in range(15)
    )
    problem = RollNesting(blanks=blanks, rolls=(RollWidth(width=96, length=None, cost=1),), stages=3)
    assert nest(problem, Limits(work=2_000)).cost <= library_length(problem)
