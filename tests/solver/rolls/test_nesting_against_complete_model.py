"""Proven costs of small random jobs equal those of a complete model solved independently."""

from random import Random

import pytest

from solver.limits import Ending, Limits
from solver.rolls import nest
from solver.rolls.model import Blank, RollNesting, RollWidth
from tests.solver.rolls.complete_model import least_cost
from tests.speed.roll_recount import faults


def small_job(seed: int) -> RollNesting:
    chance = Random(seed)
    blanks = tuple(
        Blank(across=chance.randint(3, 9), along=chance.randint(3, 12), count=1, turns=chance.random() < 0.4)
        for _ in range(chance.randint(4, 6))
    )
    rolls = []
    for _ in range(chance.randint(1, 2)):
        width = chance.randint(12, 18)
        if chance.random() < 0.5:
            rolls.append(RollWidth(width=width, length=None, cost=width + chance.randint(-2, 2), step=4))
        else:
            rolls.append(RollWidth(width=width, length=chance.randint(14, 26), cost=chance.randint(150, 400)))
    if chance.random() < 0.4:
        rolls.append(RollWidth(width=chance.randint(9, 16), length=chance.randint(8, 16), cost=0, limit=1))
    return RollNesting(blanks=blanks, rolls=tuple(rolls), crosscut_extra=chance.choice((0, 0, 1)))


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(24))
def test_the_proven_cost_is_that_of_the_complete_model(seed: int) -> None:
    problem = small_job(seed)
    plan = nest(problem, Limits())
    assert faults(problem, plan) == []
    assert plan.ending is Ending.PROVEN
    assert plan.cost == plan.bound == least_cost(problem)
