"""Cutting the rails of a few patterns anew from the same sticks: less scrap, fewer patterns."""

from __future__ import annotations

from typing import Any

from solver.sticks.effort import Effort
from solver.sticks.grid import Column, Grid, Packing, Pattern
from solver.sticks.offcuts import OffcutWorth, offcut_of

MOST_COLUMNS = 1_500


def recut(
    grid: Grid, chosen: Packing, worth: OffcutWorth, effort: Effort, *, patterns: bool, seed: int
) -> Packing | None:
    """Return the best packing of some patterns' rails in some patterns' sticks, or None if it stays as it is.

    Parameters
    ----------
    grid
        The problem.
    chosen
        Patterns to take apart, with their sticks.
    worth, patterns
        What offcuts are worth, and whether fewer patterns count, after the offcuts' rough worth and before the fine.
    effort, seed
        Where work is counted, and for the solver.
    """
    from ortools.sat.python import cp_model

    demand: dict[int, int] = {}
    sticks: dict[int, int] = {}
    for (s, pattern), copies in chosen.items():
        sticks[s] = sticks.get(s, 0) + copies
        for i, times in pattern:
            demand[i] = demand.get(i, 0) + times * copies
    columns: list[Column] = []
    for s in sorted(sticks):
        found = every_pattern(grid, s, demand, MOST_COLUMNS - len(columns))
        if found is None:
            effort.spend(2)
            return None
        columns += [(s, pattern) for pattern in found]
    model = cp_model.CpModel()
    covered: dict[int, list[Any]] = {i: [] for i in demand}
    used: dict[int, list[Any]] = {s: [] for s in sticks}
    cuts: list[Any] = []
    worths: list[tuple[int, int, Any]] = []
    fines = 0
    amounts = []
    for s, pattern in columns:
        most = min([sticks[s], *(demand[i] // times for i, times in pattern)])
        amount = model.new_int_var(0, most, "")
        amounts.append(amount)
        model.add_hint(amount, chosen.get((s, pattern), 0))
        for i, times in pattern:
            covered[i].append(times * amount)
        used[s].append(amount)
        offcut = offcut_of(grid, (s, pattern))
        fines = max(fines, worth.fine(offcut))
        worths.append((worth.rough(offcut), worth.fine(offcut), amount))
        if patterns:
            cut = model.new_bool_var("")
            model.add(amount <= most * cut)
            model.add_hint(cut, (s, pattern) in chosen)
            cuts.append(cut)
    for i, row in covered.items():
        model.add(sum(row) == demand[i])
    for s, row in used.items():
        model.add(sum(row) <= sticks[s])
    # Each figure outweighs all that the next ones can come to.
    one_pattern = 1 + fines * sum(sticks.values())
    one_rough = one_pattern * (1 + len(columns))
    model.minimize(one_pattern * sum(cuts) - sum((rough * one_rough + fine) * amount for rough, fine, amount in worths))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = seed
    solver.parameters.max_deterministic_time = 0.15
    solver.parameters.max_time_in_seconds = max(0.01, min(2.0, effort.seconds_left))
    status = solver.solve(model)
    effort.spend(5 + 1000 * solver.deterministic_time + len(columns) / 50)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return None
    anew = {column: n for column, amount in zip(columns, amounts, strict=True) if (n := solver.value(amount))}
    return None if anew == chosen else anew


def every_pattern(grid: Grid, s: int, demand: dict[int, int], most: int) -> list[Pattern] | None:
    """Return every pattern of the rails that fits a size, full or not, or None if there are more than ``most``."""
    rails = sorted(demand)
    found: list[Pattern] = []
    weights = [grid.weights[i] for i in rails]

    def extend(k: int, left: int, pattern: Pattern) -> bool:
        if k == len(rails):
            if pattern:
                found.append(pattern)
            return len(found) <= most
        for times in range(min(demand[rails[k]], left // weights[k]), -1, -1):
            longer = (*pattern, (rails[k], times)) if times else pattern
            if not extend(k + 1, left - times * weights[k], longer):
                return False
        return True

    return found if extend(0, grid.sizes[s].capacity, ()) else None
