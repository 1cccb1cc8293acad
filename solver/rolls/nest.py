"""The one way in: from a roll-nesting problem to the cheapest plan that can be found, and its proof."""

from __future__ import annotations

from solver.limits import Limits
from solver.rolls.demand import ordered_demand
from solver.rolls.model import NestingPlan, RollNesting
from solver.rolls.search import searched_plan


def nest(problem: RollNesting, limits: Limits) -> NestingPlan:
    """Return a plan that cuts every blank exactly once, at the least cost that could be found.

    Crosscuts are generated as columns of a linear programme; an integer
    programme over numbers of rolls says what to buy. The bound is exact
    arithmetic. One work unit of ``limits`` is about a millisecond.

    Raises
    ------
    ProblemError
        Naming each blank that fits no roll, or saying that the rolls do not suffice.

    References
    ----------
    Gilmore, Gomory, Multistage cutting stock problems of two and more dimensions,
    Operations Research 13 (1965); the bound at any dual values: Farley, A note on
    bounding a class of linear programming problems, Operations Research 38 (1990).

    Examples
    --------
    Six blanks 36 x 50 on a roll 72 wide, sold by the started 100:

    >>> from solver.rolls.model import Blank, RollWidth
    >>> roll = RollWidth(width=72, length=None, cost=9, step=100)
    >>> plan = nest(RollNesting(blanks=(Blank(across=36, along=50, count=6),), rolls=(roll,)), Limits())
    >>> plan.cost, plan.bound, plan.rolls[0].crosscuts[0].copies
    (18, 18, 3)
    """
    return searched_plan(ordered_demand(problem), limits)
