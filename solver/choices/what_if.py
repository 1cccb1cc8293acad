"""Plans side by side over a few choices, with their money and their waste."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from solver.choices.variations import PhaseByPhase, Variation
from solver.errors import ProblemError, RecordError
from solver.limits import Limits
from solver.money import Cents
from solver.plan import Plan
from solver.pooling import Belonging, one_by_one
from solver.problem import Problem
from solver.solve import solve


@dataclass(frozen=True, kw_only=True, slots=True)
class Outcome:
    """What one choice comes to; where it cannot be planned, ``trouble`` says why and there is no plan.

    ``total`` and ``bound`` are None without prices. ``rail_waste`` is the share
    of the sticks begun that ends neither in a rail nor in an offcut worth
    keeping; ``mesh_waste`` the same of the mesh cut off rolls.
    """

    name: str
    plans: tuple[Plan, ...] = ()
    total: Cents | None = None
    bound: Cents | None = None
    sticks: int = 0
    rail_waste: Fraction = Fraction(0)
    mesh_waste: Fraction = Fraction(0)
    more_than_first: Cents | None = None
    trouble: str = ""


def what_if(problem: Problem, choices: Mapping[str, Sequence[Variation]], limits: Limits) -> tuple[Outcome, ...]:
    """Return the outcome of the job as it is and of every choice, in the order given.

    A choice may change several things at once.

    Parameters
    ----------
    problem
        The job as it is; its outcome comes first, named ``as it is``.
    choices
        The changes of each choice, by its name.
    limits
        For each part of each plan.
    """
    outcomes: list[Outcome] = []
    for name, changes in {"as it is": (), **choices}.items():
        try:
            plans = _planned(problem, changes, limits)
        except (ProblemError, RecordError) as error:
            outcomes.append(Outcome(name=name, trouble=str(error)))
            continue
        first = outcomes[0].total if outcomes else None
        outcomes.append(_outcome(name, plans, first))
    return tuple(outcomes)


def _planned(problem: Problem, changes: Sequence[Variation], limits: Limits) -> tuple[tuple[Problem, Plan], ...]:
    for change in changes:
        problem = change.applied(problem)
    if any(isinstance(change, PhaseByPhase) for change in changes):
        phases = one_by_one(problem, limits, Belonging.PHASE.of).phases
        return tuple((phase.problem, phase.plan) for phase in phases)
    return ((problem, solve(problem, limits)),)


def _outcome(name: str, planned: Sequence[tuple[Problem, Plan]], first: Cents | None) -> Outcome:
    plans = tuple(plan for _, plan in planned)
    totals = [plan.total for plan in plans if plan.total is not None]
    bounds = [plan.bound for plan in plans if plan.bound is not None]
    total = Cents(sum(totals)) if totals else None
    sticks = [stick for plan in plans for group in plan.stick_groups for stick in group.sticks]
    begun = sum(stick.length for stick in sticks)
    used = sum(sum(rail.length for rail in stick.rails) + (stick.offcut if stick.kept else 0) for stick in sticks)
    cut, blanks = _mesh(plans)
    return Outcome(
        name=name,
        plans=plans,
        total=total,
        bound=Cents(sum(bounds)) if bounds else None,
        sticks=len(sticks),
        rail_waste=Fraction(begun - used, begun) if begun else Fraction(0),
        mesh_waste=Fraction(cut - blanks, cut) if cut else Fraction(0),
        more_than_first=None if total is None or first is None else Cents(total - first),
    )


def _mesh(plans: Sequence[Plan]) -> tuple[int, int]:
    """Return the area cut off all rolls, kept side strips apart, and the area of all blanks."""
    cut = blanks = 0
    for roll_group in (group for plan in plans for group in plan.roll_groups):
        for roll in roll_group.rolls:
            cut += roll.used * roll.width
            for strip in (strip for crosscut in roll.crosscuts for strip in crosscut.strips):
                blanks += sum(blank.across * blank.along for blank in strip.blanks)
        cut -= sum(piece.width * piece.length for piece in roll_group.leftovers if piece.crosscut is not None)
    return cut, blanks
