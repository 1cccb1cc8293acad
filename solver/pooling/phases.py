"""Phase by phase: each complete on its own, what is left over carried to the next."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from solver.limits import Limits
from solver.money import Cents
from solver.openings import Opening
from solver.plan import Plan
from solver.problem import Problem
from solver.revision.finished import stock_when_finished
from solver.solve import solve


@dataclass(frozen=True, kw_only=True, slots=True)
class Phase:
    """One phase: its openings with the stock it begins with, and its plan."""

    name: str
    problem: Problem
    plan: Plan


@dataclass(frozen=True, kw_only=True, slots=True)
class Phased:
    """The phases in turn beside one joint plan; totals are None without prices."""

    joint: Plan
    phases: tuple[Phase, ...]

    @property
    def total(self) -> Cents | None:
        """What all phases buy."""
        totals = [phase.plan.total for phase in self.phases]
        if self.joint.total is None:
            return None
        return Cents(sum(total or 0 for total in totals))

    @property
    def price_of_difference(self) -> Cents | None:
        """What planning phase by phase costs beyond the joint plan."""
        if self.total is None or self.joint.total is None:
            return None
        return Cents(self.total - self.joint.total)


def one_by_one(
    problem: Problem, limits: Limits, phase_of: Callable[[Opening], str], *, joint: Plan | None = None
) -> Phased:
    """Return a plan for each phase in turn, and the joint plan to compare with.

    Each phase begins with the stock that the one before left: offcuts, roll
    ends, and what is left of bundles and packs.

    Parameters
    ----------
    problem
        The whole job.
    limits
        For each part of each plan.
    phase_of
        The name of an opening's phase; phases are planned in the order of their names.
    joint
        The joint plan, if there is one already.

    Raises
    ------
    ProblemError
        If the whole or a phase cannot be planned.
    """
    if joint is None:
        joint = solve(problem, limits)
    phases = []
    catalogue = problem.catalogue
    for name in sorted({phase_of(opening) for opening in problem.openings}, key=_natural):
        mine = tuple(opening for opening in problem.openings if phase_of(opening) == name)
        labels = {opening.label for opening in mine}
        own = replace(
            problem,
            openings=mine,
            catalogue=catalogue,
            name=f"{problem.name}, {name}" if name else problem.name,
            pinned_rails=tuple(pin for pin in problem.pinned_rails if pin.opening in labels),
            pinned_blanks=tuple(pin for pin in problem.pinned_blanks if pin.opening in labels),
        )
        plan = solve(own, limits)
        phases.append(Phase(name=name, problem=own, plan=plan))
        catalogue = stock_when_finished(own, plan)
    return Phased(joint=joint, phases=tuple(phases))


def _natural(name: str) -> tuple[int, int, str]:
    """Sort numbers as numbers: phase 2 before phase 10."""
    digits = "".join(letter for letter in name if letter in "0123456789")
    return (0, int(digits), name) if digits else (1, 0, name)
