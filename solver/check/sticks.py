"""Recount every stick: rails, saw cuts and trims within its length, offcuts, and stock within its limits."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from solver.catalogue import Corner, StickStock
from solver.check.fault import Fault
from solver.plan import CutStick, Plan, StickGroup
from solver.problem import Problem
from solver.rules import Rules


def stick_faults(problem: Problem, plan: Plan) -> Iterator[Fault]:
    """Yield what is wrong with the sticks of a plan."""
    stock = {stick.name: stick for stick in problem.catalogue.sticks}
    in_kits = {
        (kit.name, sticks.length): StickStock(
            name=kit.name, profile=kit.profile, colour=kit.colour, length=sticks.length, on_sale=False
        )
        for kit in problem.catalogue.kits
        for sticks in kit.sticks
    }
    profiles = {profile.name: profile for profile in problem.catalogue.profiles}
    bought: Counter[str] = Counter()
    taken: Counter[str] = Counter()
    for group in plan.stick_groups:
        name = f"sticks {group.profile} {group.colour}"
        mitred = group.profile in profiles and profiles[group.profile].corner is Corner.MITRED
        yield from _kerf_faults(name, group, problem.rules.kerf, mitred=mitred)
        last = 0
        for stick in group.sticks:
            where = f"{name} no. {stick.number}"
            if stick.number <= last:
                yield Fault(where=where, rule="numbers rise in cutting order", amount=last + 1 - stick.number)
            last = stick.number
            offer = in_kits.get((stick.stock, stick.length)) if stick.from_kit else stock.get(stick.stock)
            if offer is None or (offer.profile, offer.colour) != (group.profile, group.colour):
                yield Fault(where=where, rule=f"stock {stick.stock!r} is listed for this group", amount=1)
                continue
            if not stick.from_kit:
                (bought if stick.bought else taken)[stick.stock] += 1
            yield from _cut_faults(where, stick, offer, group.joint_kerf, problem.rules)
    for name, offer in stock.items():
        allowed = offer.limit if offer.on_sale else 0
        if allowed is not None and bought[name] > allowed:
            yield Fault(where=f"stick {name}", rule=f"at most {allowed} can be bought", amount=bought[name] - allowed)
        if taken[name] > offer.on_hand:
            rule = f"at most {offer.on_hand} are on hand"
            yield Fault(where=f"stick {name}", rule=rule, amount=taken[name] - offer.on_hand)


def _kerf_faults(where: str, group: StickGroup, kerf: int, *, mitred: bool) -> Iterator[Fault]:
    """Compare with kerf x sqrt 2 rounded up for a mitre: the least k with k * k >= 2 * kerf * kerf."""
    k = group.joint_kerf
    right = (k * k >= 2 * kerf * kerf and (k == 0 or (k - 1) * (k - 1) < 2 * kerf * kerf)) if mitred else k == kerf
    if not right:
        yield Fault(where=where, rule="the saw cut follows from the kerf and the joint", amount=k - kerf)


def _cut_faults(where: str, stick: CutStick, offer: StickStock, kerf: int, rules: Rules) -> Iterator[Fault]:
    if stick.length != offer.length:
        yield Fault(where=where, rule="as long as the stock list says", amount=stick.length - offer.length)
    if not stick.rails:
        yield Fault(where=where, rule="a stick that is used has rails", amount=1)
    first = 0 if offer.leftover else rules.end_trim
    position = first
    for number, rail in enumerate(stick.rails):
        position += rail.length + (kerf if number else 0)
    over = position + (0 if offer.both_ends_clean else rules.end_trim) - offer.length
    if over > 0:
        yield Fault(where=where, rule="rails, saw cuts and trims fit the stick", amount=over)
    left = max(0, offer.length - position - kerf)
    if stick.offcut != left:
        yield Fault(where=where, rule="the offcut is what is left after the last saw cut", amount=stick.offcut - left)
    if stick.kept != (left > 0 and left >= rules.useful_offcut):
        yield Fault(where=where, rule="an offcut is kept exactly when it is long enough", amount=left)
