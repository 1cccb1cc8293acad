"""The least cost by a complete model, independent of the planner: every rail to a stick, solved to the end."""

from __future__ import annotations

from typing import Any

from ortools.sat.python import cp_model

from solver.sticks.model import CuttingStock


def least_cost(problem: CuttingStock) -> int:
    """Return the least cost of sticks that hold all rails; bundles may hold more sticks than are cut."""
    model = cp_model.CpModel()
    rails = sum(problem.counts)
    placed: list[list[Any]] = [[] for _ in problem.lengths]
    cost: list[Any] = []
    for stock in problem.stock:
        most = rails if stock.limit is None else min(rails, stock.limit)
        before = None
        sticks: list[Any] = []
        for _ in range(most):
            used = model.new_bool_var("")
            held = [model.new_int_var(0, count, "") for count in problem.counts]
            weight = sum((length + problem.kerf) * n for length, n in zip(problem.lengths, held, strict=True))
            model.add(weight <= (stock.length + problem.kerf) * used)
            for row, n in zip(placed, held, strict=True):
                row.append(n)
            if before is not None:
                model.add_implication(used, before)
            before = used
            sticks.append(used)
        singles = model.new_int_var(0, most, "")
        bundles = model.new_int_var(0, most if stock.bundle else 0, "")
        size, price = stock.bundle or (1, 0)
        model.add(singles + size * bundles >= sum(sticks))
        if stock.limit is not None:
            model.add(singles + size * bundles <= stock.limit)
        cost.append(stock.cost * singles + price * bundles)
    for row, count in zip(placed, problem.counts, strict=True):
        model.add(sum(row) == count)
    model.minimize(sum(cost))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    status = solver.solve(model)
    assert status == cp_model.OPTIMAL
    least: int = round(solver.objective_value)
    return least
