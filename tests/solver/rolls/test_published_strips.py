"""A sample of published two-stage strip instances.

Instances: Cintra, Miyazawa, Wakabayashi, Xavier, EJOR 2008 (made from Beasley's gcut); best published lengths as
tabulated in Libralesso, Fontan, arXiv 2004.02603. No turning; least length.
"""

import pytest

from solver.limits import Ending, Limits
from solver.rolls import nest
from solver.rolls.model import Blank, RollNesting, RollWidth
from tests.speed.roll_recount import faults

GCUT1D = [
    (66, 148, 93), (69, 165, 85), (70, 86, 39), (83, 140, 13), (87, 141, 61),
    (114, 118, 75), (120, 160, 63), (143, 166, 79), (167, 152, 71), (167, 184, 90),
]  # fmt: skip
GCUT2D = [
    (18, 90, 8), (66, 85, 20), (68, 94, 17), (71, 176, 34), (86, 75, 33), (87, 148, 19), (91, 175, 56),
    (103, 73, 39), (120, 133, 61), (121, 158, 40), (131, 176, 49), (132, 159, 13), (135, 68, 78), (135, 97, 79),
    (135, 186, 75), (140, 109, 79), (152, 93, 2), (153, 72, 96), (155, 76, 92), (168, 107, 92),
]  # fmt: skip


@pytest.mark.parametrize(("sizes", "best_published"), [(GCUT1D, 51_604), (GCUT2D, 77_436)], ids=["gcut1d", "gcut2d"])
def test_the_best_published_length_is_found_and_proven(sizes: list[tuple[int, int, int]], best_published: int) -> None:
    blanks = tuple(Blank(across=across, along=along, count=count) for across, along, count in sizes)
    problem = RollNesting(blanks=blanks, rolls=(RollWidth(width=250, length=None, cost=1),))
    plan = nest(problem, Limits(work=20_000))
    assert faults(problem, plan) == []
    assert plan.cost == best_published
    assert plan.ending is Ending.PROVEN
