"""Recount the kits: no more is cut and fitted from them than they hold, and every one is on the purchase list."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from solver.catalogue import Kit
from solver.check.fault import Fault
from solver.plan import KitUse, Plan
from solver.problem import Problem


def kit_faults(problem: Problem, plan: Plan) -> Iterator[Fault]:
    """Yield what is wrong with the kits of a plan."""
    kits = {kit.name: kit for kit in problem.catalogue.kits}
    uses = {use.kit: use for use in plan.kits}
    if len(uses) != len(plan.kits):
        yield Fault(where="kits", rule="one entry for each kit", amount=len(plan.kits) - len(uses))
    named = {stick.stock for group in plan.stick_groups for stick in group.sticks if stick.from_kit}
    named |= {roll.stock for group in plan.roll_groups for roll in group.rolls if roll.from_kit}
    for name in sorted(named - uses.keys()):
        yield Fault(where=f"kit {name}", rule="a kit that is cut from is listed as opened", amount=1)
    for name, use in uses.items():
        kit = kits.get(name)
        if kit is None:
            yield Fault(where=f"kit {name}", rule="only kits of the stock list are opened", amount=1)
            continue
        yield from _number_faults(kit, use)
        yield from _line_faults(use, plan)
        yield from _stick_faults(kit, use, plan)
        yield from _mesh_faults(kit, use, plan)
        yield from _hardware_faults(kit, use)
    for kit in problem.catalogue.kits:
        lines = sum(line.stock == kit.name for line in plan.purchases)
        if lines != (kit.name in uses):
            yield Fault(where=f"kit {kit.name}", rule="a line for a kit that is opened, no other", amount=lines)


def _number_faults(kit: Kit, use: KitUse) -> Iterator[Fault]:
    where = f"kit {kit.name}"
    if use.on_hand > kit.on_hand:
        yield Fault(where=where, rule=f"at most {kit.on_hand} are on hand", amount=use.on_hand - kit.on_hand)
    allowed = kit.limit if kit.on_sale else 0
    if allowed is not None and use.buy > allowed:
        yield Fault(where=where, rule=f"at most {allowed} can be bought", amount=use.buy - allowed)


def _line_faults(use: KitUse, plan: Plan) -> Iterator[Fault]:
    for line in plan.purchases:
        if line.stock == use.kit and (line.need, line.on_hand) != (use.buy + use.on_hand, use.on_hand):
            amount = line.need - use.buy - use.on_hand
            yield Fault(where=f"kit {use.kit}", rule="the purchase list counts the kits opened", amount=amount)


def _stick_faults(kit: Kit, use: KitUse, plan: Plan) -> Iterator[Fault]:
    cut: Counter[int] = Counter()
    rack: Counter[int] = Counter()
    for stick in (stick for group in plan.stick_groups for stick in group.sticks):
        if stick.from_kit and stick.stock == kit.name:
            cut[stick.length] += 1
            rack[stick.length] += not stick.bought
    for sticks in kit.sticks:
        where = f"kit {kit.name} sticks of length {sticks.length}"
        yield from _at_most(where, rack[sticks.length], sticks.count * use.on_hand)
        yield from _at_most(where, cut[sticks.length], sticks.count * (use.buy + use.on_hand))
        listed = [(c.there, c.used) for c in use.contents if c.length == sticks.length and c.width is None]
        if listed != [(sticks.count * (use.buy + use.on_hand), cut[sticks.length])]:
            yield Fault(where=where, rule="the contents listed are those there and cut", amount=cut[sticks.length])


def _mesh_faults(kit: Kit, use: KitUse, plan: Plan) -> Iterator[Fault]:
    pieces = [roll for group in plan.roll_groups for roll in group.rolls if roll.from_kit and roll.stock == kit.name]
    where = f"kit {kit.name} mesh"
    each = kit.mesh.count if kit.mesh is not None else 0
    yield from _at_most(where, sum(not piece.bought for piece in pieces), each * use.on_hand)
    yield from _at_most(where, len(pieces), each * (use.buy + use.on_hand))
    listed = [(c.there, c.used) for c in use.contents if c.width is not None]
    if kit.mesh is not None and listed != [(each * (use.buy + use.on_hand), len(pieces))]:
        yield Fault(where=where, rule="the contents listed are those there and cut", amount=len(pieces))


def _hardware_faults(kit: Kit, use: KitUse) -> Iterator[Fault]:
    for content in kit.hardware:
        where = f"kit {kit.name} {content.hardware.value} {content.fits}".strip()
        there = content.amount * (use.buy + use.on_hand)
        listed = [c for c in use.contents if (c.hardware, c.fits) == (content.hardware, content.fits)]
        if [c.there for c in listed] != [there]:
            yield Fault(where=where, rule="the contents listed are those there", amount=there)
        for entry in listed:
            yield from _at_most(where, entry.used, there)


def _at_most(where: str, used: int, there: int) -> Iterator[Fault]:
    if used > there:
        yield Fault(where=where, rule=f"no more than the {there} there are", amount=used - there)
