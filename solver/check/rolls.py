"""Recount every roll: strips within the width, blanks within strips, crosscuts within the roll."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from solver.catalogue import RollStock
from solver.check.fault import Fault
from solver.plan import Crosscut, CutRoll, Plan, RollGroup
from solver.problem import Problem
from solver.rules import Rules


def roll_faults(problem: Problem, plan: Plan) -> Iterator[Fault]:
    """Yield what is wrong with the rolls of a plan."""
    stock = {roll.name: roll for roll in problem.catalogue.rolls}
    in_kits = {
        kit.name: RollStock(
            name=kit.name, mesh=kit.mesh.mesh, width=kit.mesh.width, length=kit.mesh.length, on_sale=False
        )
        for kit in problem.catalogue.kits
        if kit.mesh is not None
    }
    bought: Counter[str] = Counter()
    taken: Counter[str] = Counter()
    for group in plan.roll_groups:
        yield from _number_faults(group)
        for roll in group.rolls:
            where = f"mesh {group.mesh} roll {roll.number}"
            offer = (in_kits if roll.from_kit else stock).get(roll.stock)
            if offer is None or offer.mesh != group.mesh:
                yield Fault(where=where, rule=f"stock {roll.stock!r} is listed for this mesh", amount=1)
                continue
            if not roll.from_kit:
                (bought if roll.bought else taken)[roll.stock] += 1
            yield from _roll_faults(where, roll, offer, problem.rules)
            for crosscut in roll.crosscuts:
                at = f"{where} crosscut {crosscut.number}"
                yield from _crosscut_faults(at, crosscut, offer, problem.rules)
        yield from _leftover_faults(group, problem.rules)
    for name, offer in stock.items():
        allowed = offer.limit if offer.on_sale else 0
        if allowed is not None and bought[name] > allowed and offer.length is not None:
            yield Fault(where=f"roll {name}", rule=f"at most {allowed} can be bought", amount=bought[name] - allowed)
        if taken[name] > offer.on_hand:
            yield Fault(
                where=f"roll {name}",
                rule=f"at most {offer.on_hand} are on hand",
                amount=taken[name] - offer.on_hand,
            )


def _number_faults(group: RollGroup) -> Iterator[Fault]:
    """Yield numbers that do not rise: of rolls in the group, of crosscuts on their roll, or given twice."""
    seen: set[int] = set()
    last_roll = 0
    for roll in group.rolls:
        where = f"mesh {group.mesh} roll {roll.number}"
        if roll.number <= last_roll:
            yield Fault(where=where, rule="numbers rise in cutting order", amount=last_roll + 1 - roll.number)
        last_roll, last = roll.number, 0
        for crosscut in roll.crosscuts:
            at = f"{where} crosscut {crosscut.number}"
            if crosscut.number <= last:
                yield Fault(where=at, rule="numbers rise in cutting order", amount=last + 1 - crosscut.number)
            if crosscut.number in seen:
                yield Fault(where=at, rule="no number is given twice", amount=1)
            last = crosscut.number
            seen.add(last)


def _roll_faults(where: str, roll: CutRoll, offer: RollStock, rules: Rules) -> Iterator[Fault]:
    if roll.width != offer.width or roll.length != offer.length:
        yield Fault(where=where, rule="of the size the stock list says", amount=roll.width - offer.width)
    if not roll.crosscuts:
        yield Fault(where=where, rule="a roll that is used has crosscuts", amount=1)
    used = sum(crosscut.length + rules.crosscut_extra for crosscut in roll.crosscuts)
    if roll.used != used:
        yield Fault(where=where, rule="the length used adds up", amount=roll.used - used)
    left = 0 if offer.length is None else offer.length - used
    if left < 0:
        yield Fault(where=where, rule="crosscuts fit the roll", amount=-left)
    if roll.left != left:
        yield Fault(where=where, rule="the length left adds up", amount=roll.left - left)
    keep = left > 0 and left >= rules.useful_mesh_length and roll.width >= rules.useful_mesh_width
    if roll.kept != keep:
        yield Fault(where=where, rule="a roll end is kept exactly when it is big enough", amount=left)


def _crosscut_faults(where: str, crosscut: Crosscut, offer: RollStock, rules: Rules) -> Iterator[Fault]:
    if rules.longest_crosscut and crosscut.length > rules.longest_crosscut:
        over = crosscut.length - rules.longest_crosscut
        yield Fault(where=where, rule="no longer than the cutting table takes", amount=over)
    right_edge = int(rules.selvage_trim)
    for strip in crosscut.strips:
        right_edge += strip.width
        along = 0
        for blank in strip.blanks:
            along += blank.along
            if blank.across > strip.width:
                rule = f"blank {blank.opening} {blank.copy} is no wider than its strip"
                yield Fault(where=where, rule=rule, amount=blank.across - strip.width)
        if rules.mesh_stages == 2 and len(strip.blanks) > 1:
            yield Fault(where=where, rule="in two stages a strip holds one blank", amount=len(strip.blanks) - 1)
        if not strip.blanks:
            yield Fault(where=where, rule="every strip holds a blank", amount=1)
        if along > crosscut.length:
            yield Fault(where=where, rule="blanks fit along the crosscut", amount=along - crosscut.length)
    over = right_edge + rules.selvage_trim - offer.width
    if over > 0:
        yield Fault(where=where, rule="strips and selvages fit the width", amount=over)


def _leftover_faults(group: RollGroup, rules: Rules) -> Iterator[Fault]:
    wanted: Counter[tuple[int, int | None, int, int]] = Counter()
    for roll in group.rolls:
        if roll.kept:
            wanted[roll.number, None, roll.width, roll.left] += 1
        for crosscut in roll.crosscuts:
            width = roll.width - rules.selvage_trim - sum(strip.width for strip in crosscut.strips)
            long_enough = crosscut.length > 0 and crosscut.length >= rules.useful_mesh_length
            if width > 0 and width >= rules.useful_mesh_width and long_enough:
                wanted[roll.number, crosscut.number, width, crosscut.length] += 1
    listed: Counter[tuple[int, int | None, int, int]] = Counter(
        (piece.roll, piece.crosscut, piece.width, piece.length) for piece in group.leftovers
    )
    wrong = (wanted - listed).total() + (listed - wanted).total()
    if wrong:
        yield Fault(where=f"mesh {group.mesh}", rule="the leftovers listed are those worth keeping", amount=wrong)
