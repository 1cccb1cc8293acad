"""Solving a linear programme with GLOP so that it always comes back."""

from __future__ import annotations

from ortools.linear_solver import pywraplp

from solver.rolls.effort import Effort

LONGEST_SECONDS = 10.0
_WAYS = ("use_dual_simplex: false", "use_dual_simplex: true", "use_preprocessing: false", "use_dual_simplex: true")


def glop_solved(solver: pywraplp.Solver, effort: Effort) -> bool:
    """Solve a programme; False if no method got it solved.

    GLOP can circle for ever when it starts from an earlier basis, so each try
    has a time limit, and later ones start afresh with another method.
    """
    for number, way in enumerate(_WAYS):
        solver.SetSolverSpecificParametersAsString(way)
        solver.SetTimeLimit(max(50, int(1000 * min(LONGEST_SECONDS, effort.seconds_left))))
        asked = pywraplp.MPSolverParameters()
        if number:
            asked.SetIntegerParam(asked.INCREMENTALITY, asked.INCREMENTALITY_OFF)
        status = solver.Solve(asked)
        effort.spend(1.5 + solver.iterations() * (solver.NumConstraints() + 20) * 2e-4)
        if status == pywraplp.Solver.OPTIMAL:
            return True
        if effort.over():
            break
    return False
