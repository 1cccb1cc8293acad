"""Recount the purchase list: it covers what is cut and fitted, and takes no more from the rack than is there."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator

from solver.catalogue import Hardware
from solver.check.fault import Fault
from solver.plan import Plan, PurchaseLine
from solver.problem import Problem


def purchase_faults(problem: Problem, plan: Plan) -> Iterator[Fault]:
    """Yield what the purchase list leaves uncovered, and lines whose numbers contradict each other."""
    for line in plan.purchases:
        supply = line.on_hand + line.buy * line.size
        if line.need + line.left != supply:
            rule = "need and rest add up to what is there and bought"
            yield Fault(where=_name(line), rule=rule, amount=supply - line.need - line.left)
        if min(line.need, line.on_hand, line.buy, line.left) < 0:
            yield Fault(where=_name(line), rule="no amount is negative", amount=1)
    yield from _stick_faults(plan)
    yield from _roll_faults(problem, plan)
    yield from _hardware_faults(problem, plan)


def _name(line: PurchaseLine) -> str:
    return f"purchase {line.stock or line.what}"


def _stick_faults(plan: Plan) -> Iterator[Fault]:
    cut: Counter[str] = Counter()
    taken: Counter[str] = Counter()
    for group in plan.stick_groups:
        for stick in group.sticks:
            if not stick.from_kit:
                cut[stick.stock] += 1
                taken[stick.stock] += not stick.bought
    yield from _cover_faults("stick", cut, taken, plan)


def _roll_faults(problem: Problem, plan: Plan) -> Iterator[Fault]:
    running = {roll.name for roll in problem.catalogue.rolls if roll.step is not None}
    cut: Counter[str] = Counter()
    taken: Counter[str] = Counter()
    for group in plan.roll_groups:
        for roll in group.rolls:
            if not roll.from_kit:
                cut[roll.stock] += roll.used if roll.stock in running else 1
                taken[roll.stock] += not roll.bought
    yield from _cover_faults("roll", cut, taken, plan)


def _cover_faults(what: str, cut: Counter[str], taken: Counter[str], plan: Plan) -> Iterator[Fault]:
    for name, count in cut.items():
        lines = [line for line in plan.purchases if line.stock == name]
        need = sum(line.need for line in lines)
        if need != count:
            yield Fault(where=f"{what} {name}", rule="the purchase list covers what is cut", amount=need - count)
        on_hand = sum(line.on_hand for line in lines)
        if on_hand != taken[name]:
            rule = "the purchase list counts what is taken from the rack"
            yield Fault(where=f"{what} {name}", rule=rule, amount=on_hand - taken[name])


def _hardware_faults(problem: Problem, plan: Plan) -> Iterator[Fault]:
    wanted: dict[Hardware, Counter[str]] = defaultdict(Counter)
    for screen in plan.screens:
        for need in screen.needs:
            wanted[need.hardware][need.fits] += need.amount * screen.quantity
    packs = {pack.name: pack for pack in problem.catalogue.packs}
    supply: dict[Hardware, Counter[str]] = defaultdict(Counter)
    unlisted: Counter[str] = Counter()
    for line in plan.purchases:
        pack = packs.get(line.stock)
        if pack is not None:
            supply[pack.hardware][pack.fits] += line.on_hand + line.buy * line.size
            if line.on_hand > pack.on_hand:
                rule = f"at most {pack.on_hand} are on hand"
                yield Fault(where=_name(line), rule=rule, amount=line.on_hand - pack.on_hand)
            if pack.limit is not None and line.buy > pack.limit:
                rule = f"at most {pack.limit} can be bought"
                yield Fault(where=_name(line), rule=rule, amount=line.buy - pack.limit)
        elif not line.stock:
            unlisted[line.what] += line.buy * line.size
    for kit in problem.catalogue.kits:
        opened = sum(use.buy + use.on_hand for use in plan.kits if use.kit == kit.name)
        for content in kit.hardware:
            supply[content.hardware][content.fits] += content.amount * opened
    for hardware, needs in wanted.items():
        lacking = 0
        for fits, amount in needs.items():
            spares = -(-amount * problem.rules.hardware_spares // 1_000)
            named = f"{hardware.value} {fits}" if fits else hardware.value
            own = unlisted[named] + (supply[hardware][fits] if fits else 0)
            lacking += max(0, amount + spares - own)
        if lacking > supply[hardware][""]:
            yield Fault(
                where=hardware.value,
                rule="the purchase list covers what the screens need",
                amount=lacking - supply[hardware][""],
            )
