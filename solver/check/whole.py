"""The whole recount: sizes, pieces, sticks, rolls, purchases, kits, money."""

from __future__ import annotations

from itertools import chain

from solver.check.fault import Fault
from solver.check.kits import kit_faults
from solver.check.money import money_faults
from solver.check.offers import offer_faults
from solver.check.pieces import piece_faults
from solver.check.purchases import purchase_faults
from solver.check.rolls import roll_faults
from solver.check.sizes import size_faults
from solver.check.sticks import stick_faults
from solver.plan import Plan
from solver.problem import Problem


def faults(problem: Problem, plan: Plan) -> list[Fault]:
    """Return every rule a plan breaks; an empty list means it may leave the house."""
    return list(
        chain(
            size_faults(problem, plan),
            piece_faults(problem, plan),
            stick_faults(problem, plan),
            roll_faults(problem, plan),
            purchase_faults(problem, plan),
            offer_faults(problem, plan),
            kit_faults(problem, plan),
            money_faults(problem, plan),
        )
    )
