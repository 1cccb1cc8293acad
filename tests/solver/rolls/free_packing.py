"""Blanks laid anywhere on rolls, however they would be cut: an oracle that no number of stages can undercut."""

from __future__ import annotations

from ortools.sat.python import cp_model

from solver.rolls.model import RollNesting


def least_cost_uncut(problem: RollNesting) -> int:
    """Return the least cost of rolls on which the blanks of a small job lie without overlapping.

    Rolls one by one and blanks one by one, without crosscuts or strips. Guillotine
    cuts of any number of stages lie among these, so none costs less.
    """
    model = cp_model.CpModel()
    blanks = [blank for blank in problem.blanks for _ in range(blank.count)]
    long = sum(max(blank.across, blank.along) for blank in blanks)
    lies: list[list[cp_model.IntVar]] = [[] for _ in blanks]
    cost: list[cp_model.LinearExprT] = []
    for roll in problem.rolls:
        copies = 1 if roll.length is None else min(len(blanks), roll.limit or len(blanks))
        used_before = None
        for _ in range(copies):
            if roll.length is None:
                steps = model.new_int_var(0, -(-long // roll.step), "")
                end: cp_model.LinearExprT = steps * roll.step
                cost.append(steps * roll.cost)
                reach = long + roll.step
            else:
                used = model.new_bool_var("")
                end, reach = used * roll.length, roll.length
                cost.append(used * roll.cost)
                if used_before is not None:
                    model.add_implication(used, used_before)
                used_before = used
            over, beside = [], []
            for number, blank in enumerate(blanks):
                ways = [(blank.across, blank.along)] + [(blank.along, blank.across)] * blank.turns
                for across, along in ways:
                    if across > roll.width or along > reach:
                        continue
                    here = model.new_bool_var("")
                    lies[number].append(here)
                    x = model.new_int_var(0, roll.width - across, "")
                    y = model.new_int_var(0, reach - along, "")
                    over.append(model.new_optional_fixed_size_interval_var(x, across, here, ""))
                    beside.append(model.new_optional_fixed_size_interval_var(y, along, here, ""))
                    model.add(y + along <= end).only_enforce_if(here)
            model.add_no_overlap_2d(over, beside)
    for ways_of in lies:
        model.add_exactly_one(ways_of)
    model.minimize(sum(cost))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.max_deterministic_time = 60.0
    if solver.solve(model) != cp_model.OPTIMAL:
        raise AssertionError("the oracle was not solved")
    least: int = round(solver.objective_value)
    return least
