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
        if not stick_group.proof.joint:
            yield from _proof_faults(where, stick_group.proof, _stick_cost(problem, stick_group))
    for roll_group in plan.roll_groups:
        where = f"mesh {roll_group.mesh}"
        if not roll_group.proof.joint:
            yield from _proof_faults(where, roll_group.proof, _roll_cost(problem, roll_group))
    yield from _basket_faults(problem, plan)
    yield from _bound_faults(plan)


def _basket_faults(problem: Problem, plan: Plan) -> Iterator[Fault]:
    """Recount all baskets together: kits and deliveries belong to no single group."""
    proofs = {basket.name: basket.proof for basket in plan.baskets}
    groups: list[StickGroup | RollGroup] = [*plan.stick_groups, *plan.roll_groups]
    for group in groups:
        if group.proof.joint and proofs.get(group.proof.joint) != group.proof:
            yield Fault(where=group.proof.joint, rule="a group of a basket bears its proof", amount=1)
    for basket in plan.baskets:
        if {(g.profile, g.colour) for g in plan.stick_groups if g.proof.joint == basket.name} != {*basket.stick_groups}:
            yield Fault(where=basket.name, rule="a basket lists its rails", amount=len(basket.stick_groups))
        if {g.mesh for g in plan.roll_groups if g.proof.joint == basket.name} != {*basket.roll_groups}:
            yield Fault(where=basket.name, rule="a basket lists its meshes", amount=len(basket.roll_groups))
    if not plan.baskets:
        return
    rails = {pair for basket in plan.baskets for pair in basket.stick_groups}
    meshes = {mesh for basket in plan.baskets for mesh in basket.roll_groups}
    hardware = {kind for basket in plan.baskets for kind in basket.hardware}
    inside = {stick.name for stick in problem.catalogue.sticks if (stick.profile, stick.colour) in rails}
    inside |= {roll.name for roll in problem.catalogue.rolls if roll.mesh in meshes}
    inside |= {pack.name for pack in problem.catalogue.packs if pack.hardware in hardware}
    inside |= {kit.name for kit in problem.catalogue.kits}
    deliveries = {f"delivery by {supplier.name}" for supplier in problem.catalogue.suppliers}
    spent = sum(
        line.cost or 0
        for line in plan.purchases
        if line.stock in inside or (not line.stock and line.what in deliveries)
    )
    for number, proof in enumerate(proofs.values()):
        # The sum is compared once; each proof on its own must still be sound.
        others = sum(other.cost for place, other in enumerate(proofs.values()) if place != number)
        yield from _proof_faults("baskets", proof, spent - others)


def _bound_faults(plan: Plan) -> Iterator[Fault]:
    """Recount the bound of the total: the total less what groups and baskets might still save."""
    if plan.total is None or plan.bound is None:
        return
    groups: list[StickGroup | RollGroup] = [*plan.stick_groups, *plan.roll_groups]
    proofs = [group.proof for group in groups if group.proof.measure == "cents" and not group.proof.joint]
    proofs += [basket.proof for basket in plan.baskets]
    bound = plan.total - sum(proof.cost - proof.bound for proof in proofs)
    if plan.bound != bound:
        yield Fault(where="total", rule="the bound leaves out what could still be saved", amount=plan.bound - bound)


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
    bought = Counter(stick.stock for stick in group.sticks if stick.bought and not stick.from_kit)
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
    whole = Counter(roll.stock for roll in group.rolls if roll.bought and roll.length is not None and not roll.from_kit)
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
