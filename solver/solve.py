"""The one way in: a problem and limits, a checked plan out.

The steps are public so that a service can run the parts side by side:
``sized`` -> ``parts`` -> ``solve_part`` for each -> ``assemble``.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from solver.check import Fault, faults
from solver.errors import SolverError
from solver.limits import Limits
from solver.parts import BasketGroup, BasketPart, BlankPart, Group, Part, RailPart
from solver.parts import parts as split
from solver.parts.one_way import one_way_group
from solver.parts.rails import stick_group
from solver.plan import Basket, Plan, RollGroup, StickGroup
from solver.problem import Problem
from solver.purchase import purchases
from solver.purchase.basket import basket_group, coupled
from solver.sizing import Sizing, sized

__all__ = ["PlanFaultError", "Sizing", "assemble", "parts", "sized", "solve", "solve_part"]


class PlanFaultError(SolverError):
    """The checker found a broken rule in a plan; a defect of this package, never of the job."""

    def __init__(self, broken: tuple[Fault, ...]) -> None:
        super().__init__("\n".join(str(fault) for fault in broken))
        self.broken = broken

    def __reduce__(self) -> tuple[type[PlanFaultError], tuple[tuple[Fault, ...]]]:
        """Return what rebuilds this error on the other side of a process border."""
        return (PlanFaultError, (self.broken,))


def parts(problem: Problem, sizing: Sizing) -> tuple[Part, ...]:
    """Return the independent parts of a sized job; what must be bought in one decision is one part."""
    found = coupled(problem, sizing.screens, split(problem, sizing.screens))
    return tuple(replace(part, among=len(found)) for part in found)


def solve_part(part: Part, limits: Limits) -> Group:
    """Return the solution of one part; ``limits`` are the whole job's, of which it takes its share.

    Raises
    ------
    ProblemError
        If the stock on sale and on hand does not suffice.
    """
    share = limits.shared(part.among)
    match part:
        case RailPart():
            return stick_group(part, share)
        case BlankPart():
            return one_way_group(part, share)
        case BasketPart():
            return basket_group(part, share)


def assemble(problem: Problem, sizing: Sizing, groups: Sequence[Group]) -> Plan:
    """Return the whole plan: the groups of all parts with the purchase list, checked.

    Raises
    ------
    PlanFaultError
        If the independent checker finds a broken rule.
    """
    baskets = [group for group in groups if isinstance(group, BasketGroup)]
    rails = [group for group in groups if isinstance(group, StickGroup)]
    rails += [group for basket in baskets for group in basket.stick_groups]
    blanks = [group for group in groups if isinstance(group, RollGroup)]
    blanks += [group for basket in baskets for group in basket.roll_groups]
    stick_groups = tuple(sorted(rails, key=lambda group: (group.profile, group.colour)))
    roll_groups = tuple(sorted(blanks, key=lambda group: group.mesh))
    bought = purchases(problem, sizing.screens, stick_groups, roll_groups, baskets)
    plan = Plan(
        name=problem.name,
        currency=problem.currency,
        screens=sizing.screens,
        stick_groups=stick_groups,
        roll_groups=roll_groups,
        purchases=bought.lines,
        total=bought.total,
        bound=bought.bound,
        by_hand=bought.by_hand,
        notices=(*sizing.notices, *bought.notices),
        assumed=problem.assumed,
        kits=bought.kits,
        baskets=tuple(_basket(basket) for basket in baskets),
        alternatives=bought.alternatives,
        still_possible=bought.still_possible,
    )
    broken = faults(problem, plan)
    if broken:
        raise PlanFaultError(tuple(broken))
    return plan


def _basket(group: BasketGroup) -> Basket:
    return Basket(
        name=group.name,
        stick_groups=tuple((rails.profile, rails.colour) for rails in group.stick_groups),
        roll_groups=tuple(blanks.mesh for blanks in group.roll_groups),
        hardware=group.hardware,
        proof=group.proof,
    )


def solve(problem: Problem, limits: Limits) -> Plan:
    """Return a checked plan for a problem.

    Parameters
    ----------
    problem
        Openings, rules and stock.
    limits
        What the whole job may use; its parts are solved one after the other.

    Raises
    ------
    ProblemError
        If the problem cannot be planned; it names every fault found.
    PlanFaultError
        If the plan breaks a rule; a defect of this package.
    """
    sizing = sized(problem)
    groups = [solve_part(part, limits) for part in parts(problem, sizing)]
    return assemble(problem, sizing, groups)
