"""Recount the money: every line, the total, and each group's cost and bound."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from solver.catalogue import RollStock, StickStock
from solver.check.fault import Fault
from solver.limits import Ending
from solver.plan import Plan, Proof, RollGroup, StickGroup
from solver.problem import Problem


def money_faults(problem: Problem, plan: Plan) -> Iterator[Fault]:
    """Yield amounts of money that do not add up, and bounds that cannot be."""
    for line in plan.purchases:
        cost = None if line.price is None else line.price * line.buy
        if line.cost != cost:
            yield Fault(
                where=f"purchase {line.stock or line.what}",
                rule="price times number",
                amount=(line.cost or 0) - (cost or 0),
            )
    spent = sum(line.cost or 0 for line in plan.purchases)
    if plan.total is not None and plan.total != spent:
        yield Fault(where="total", rule="the lines add up to the total", amount=plan.total - spent)
    if plan.total is not None and plan.bound is not None and plan.bound > plan.total:
        yield Fault(where="total", rule="the bound is not above the total", amount=plan.bound - plan.total)
    for stick_group in plan.stick_groups:
        where = f"sticks {stick_group.profile} {stick_group.colour}"
        yield from _proof_faults(where, stick_group.proof, _stick_cost(problem, stick_group))
    for roll_group in plan.roll_groups:
        where = f"mesh {roll_group.mesh}"
        yield from _proof_faults(where, roll_group.proof, _roll_cost(problem, roll_group))


def _proof_faults(where: str, proof: Proof, cost: int) -> Iterator[Fault]:
    if proof.cost != cost:
        yield Fault(where=where, rule="the cost is that of the stock bought", amount=proof.cost - cost)
    if proof.bound > proof.cost:
        yield Fault(where=where, rule="the bound is not above the cost", amount=proof.bound - proof.cost)
    if (proof.ending is Ending.PROVEN) != (proof.bound == proof.cost):
        rule = "called proven exactly when bound and cost are equal"
        yield Fault(where=where, rule=rule, amount=proof.cost - proof.bound)


def _stick_cost(problem: Problem, group: StickGroup) -> int:
    stock = {stick.name: stick for stick in problem.catalogue.sticks}
    bought = Counter(stick.stock for stick in group.sticks if stick.bought)
    if group.proof.measure == "cents":
        return sum(_cheapest(stock[name], count) for name, count in bought.items() if name in stock)
    return sum(stock[name].length * count for name, count in bought.items() if name in stock)


def _cheapest(stick: StickStock, count: int) -> int:
    """Return the least money for ``count`` sticks, singly and in bundles, within the limit."""
    price, size = stick.price or 0, stick.bundle
    best = price * count
    if size is not None:
        for bundles in range(1, -(-count // size) + 1):
            sticks = max(count, bundles * size)
            if stick.limit is None or sticks <= stick.limit:
                best = min(best, bundles * (stick.bundle_price or 0) + (sticks - bundles * size) * price)
    return best


def _roll_cost(problem: Problem, group: RollGroup) -> int:
    stock = {roll.name: roll for roll in problem.catalogue.rolls}
    whole = Counter(roll.stock for roll in group.rolls if roll.bought and roll.length is not None)
    running: Counter[str] = Counter()
    for roll in group.rolls:
        if roll.length is None:
            running[roll.stock] += roll.used
    in_cents = group.proof.measure == "cents"
    cost = sum(_unit_cost(stock[name], in_cents=in_cents) * count for name, count in whole.items() if name in stock)
    for name, used in running.items():
        if name in stock:
            cost += _unit_cost(stock[name], in_cents=in_cents) * -(-used // (stock[name].step or 1))
    return cost


def _unit_cost(roll: RollStock, *, in_cents: bool) -> int:
    if in_cents:
        return roll.price or 0
    return roll.width * (roll.length if roll.length is not None else roll.step or 1)
