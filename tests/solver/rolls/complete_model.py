"""A complete two-stage model of a small job, written without crosscut columns: an oracle for the planners."""

from __future__ import annotations

from ortools.sat.python import cp_model

from solver.rolls.model import RollNesting


def least_cost(problem: RollNesting) -> int:
    """Return the least cost by CP-SAT: single blanks into numbered crosscuts, crosscuts onto numbered rolls."""
    blanks = [blank for blank in problem.blanks for _ in range(blank.count)]
    model = cp_model.CpModel()
    n = len(blanks)
    longest = max(max(blank.across, blank.along) for blank in blanks)
    length = [model.new_int_var(0, longest, "") for _ in range(n)]
    used = [model.new_bool_var("") for _ in range(n)]
    side = [
        [(model.new_bool_var(""), blank.across, blank.along), (model.new_bool_var(""), blank.along, blank.across)]
        for blank in blanks
    ]
    inside = [[[model.new_bool_var("") for _ in range(2)] for _ in range(n)] for _ in range(n)]
    for b, blank in enumerate(blanks):
        model.add_exactly_one(inside[b][c][way] for c in range(b + 1) for way in range(2))
        for c in range(n):
            for way in range(2):
                if c > b or (way == 1 and not blank.turns):
                    model.add(inside[b][c][way] == 0)
                model.add(length[c] >= side[b][way][2]).only_enforce_if(inside[b][c][way])
                model.add_implication(inside[b][c][way], used[c])
    # Rolls one by one; running length is one roll whose length is bought by the step.
    rolls: list[tuple[int, cp_model.LinearExprT]] = []
    cost: cp_model.LinearExprT = 0
    for offer in problem.rolls:
        if offer.length is None:
            steps = model.new_int_var(0, n * (longest + problem.crosscut_extra) // offer.step + 1, "")
            rolls.append((offer.width, steps * offer.step))
            cost += steps * offer.cost
            continue
        for _ in range(n if offer.limit is None else min(n, offer.limit)):
            bought = model.new_bool_var("")
            rolls.append((offer.width, bought * offer.length))
            cost += bought * offer.cost
    on: list[list[cp_model.IntVar]] = []
    for c in range(n):
        places = [model.new_bool_var("") for _ in rolls]
        on.append(places)
        model.add(sum(places) == used[c])
        for place, (width, _) in zip(places, rolls, strict=True):
            taken = sum(side[b][way][1] * inside[b][c][way] for b in range(n) for way in range(2))
            model.add(taken <= width).only_enforce_if(place)
        if problem.longest_crosscut:
            model.add(length[c] <= problem.longest_crosscut)
    for r, (_, room) in enumerate(rolls):
        cut = []
        for c in range(n):
            part = model.new_int_var(0, longest + problem.crosscut_extra, "")
            model.add(part >= length[c] + problem.crosscut_extra).only_enforce_if(on[c][r])
            cut.append(part)
        model.add(sum(cut) <= room)
    model.minimize(cost)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.max_time_in_seconds = 30
    assert solver.solve(model) == cp_model.OPTIMAL
    value: int = round(solver.objective_value)
    return value
