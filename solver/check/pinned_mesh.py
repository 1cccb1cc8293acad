"""Recount the mesh of a revision: every blank cut is pinned or spare, every roll is somewhere."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from solver.check.fault import Fault
from solver.check.wholes import bought_pieces
from solver.events import BlankMissing, CrosscutCut, Event, EverythingCut, NotThere, RollFlaw, SpoiltBlank
from solver.handed_over import HandedOver
from solver.lengths import Ticks
from solver.plan import Plan
from solver.problem import Problem


def mesh_balance_faults(
    before: Problem,
    plan: Plan,
    events: Sequence[Event],
    after: Problem,
    new: Plan,
    struck: Sequence[HandedOver] = (),
) -> Iterator[Fault]:
    """Yield blanks that are lost or invented, and mesh on hand that does not add up."""
    spoilt = {(e.opening, e.copy): (e.across, e.along) for e in events if isinstance(e, SpoiltBlank)}
    spoilt |= {(e.opening, e.copy): (Ticks(0), Ticks(0)) for e in events if isinstance(e, BlankMissing)}
    done = _cut_by_now(plan, events, set(spoilt))
    had = {screen.opening: screen.mesh for screen in plan.screens}
    has = {screen.opening: screen.mesh for screen in new.screens}
    rack: Counter[tuple[str, int, int]] = Counter()
    lying: list[tuple[str, str, int, int, int, bool]] = [
        (had[pin.opening], pin.opening, pin.copy, pin.width, pin.height, False) for pin in before.pinned_blanks
    ]
    for group in plan.roll_groups:
        for cut in (cut for roll in group.rolls for cut in roll.crosscuts if (group.mesh, cut.number) in done):
            for blank in (blank for strip in cut.strips for blank in strip.blanks):
                size = (blank.along, blank.across) if blank.turned else (blank.across, blank.along)
                lying.append((group.mesh, blank.opening, blank.copy, *size, blank.turned))
    pieces: Counter[tuple[str, int, int]] = Counter()
    turned: Counter[tuple[str, int, int]] = Counter()
    for mesh, opening, copy, wide, high, lay_turned in lying:
        if (opening, copy) in spoilt:
            across, along = spoilt[opening, copy]
            rack[mesh, across, along] += 1 if across and along else 0
        else:
            pieces[mesh, wide, high] += 1
            turned[mesh, wide, high] += lay_turned
    for pin in after.pinned_blanks:
        pieces[has.get(pin.opening, ""), pin.width, pin.height] -= 1
    for (mesh, width, height), count in pieces.items():
        if count < 0:
            where = f"pinned blanks {mesh} {width} x {height}"
            yield Fault(where=where, rule="no more are pinned than were cut", amount=-count)
    yield from _rack_faults(before, plan, events, after, done, rack, pieces, turned, struck)


def _cut_by_now(plan: Plan, events: Sequence[Event], spoilt: set[tuple[str, int]]) -> set[tuple[str, int]]:
    done = {(event.mesh, event.number) for event in events if isinstance(event, CrosscutCut)}
    everything = any(isinstance(event, EverythingCut) for event in events)
    for group in plan.roll_groups:
        for cut in (cut for roll in group.rolls for cut in roll.crosscuts):
            blanks = {(blank.opening, blank.copy) for strip in cut.strips for blank in strip.blanks}
            if everything or blanks & spoilt:
                done.add((group.mesh, cut.number))
    return done


def _rack_faults(
    before: Problem,
    plan: Plan,
    events: Sequence[Event],
    after: Problem,
    done: set[tuple[str, int]],
    rack: Counter[tuple[str, int, int]],
    spare: Counter[tuple[str, int, int]],
    turned: Counter[tuple[str, int, int]],
    struck: Sequence[HandedOver],
) -> Iterator[Fault]:
    came = bought_pieces(before, plan, events)
    ends = {(group.mesh, roll.number, 0) for group in plan.roll_groups for roll in group.rolls}
    sides = {
        (group.mesh, roll.number, cut.number)
        for group in plan.roll_groups
        for roll in group.rolls
        for cut in roll.crosscuts
    }
    rests = {(over.mesh, over.number, over.crosscut) for over in struck if over.number} & (ends | sides)
    for over in struck:
        if over.mesh and (over.mesh, over.number, over.crosscut) not in rests:
            rack[over.mesh, over.width, over.length] -= 1
    running = {}
    for stock in before.catalogue.rolls:
        if stock.length is not None:
            rack[stock.mesh, stock.width, stock.length] += stock.on_hand + came.rolls[stock.name]
        else:
            running[stock.name] = came.rolls[stock.name] * (stock.step or 0)
    sticks = {stock.name for stock in before.catalogue.sticks}
    for event in events:
        if isinstance(event, NotThere) and event.stock not in sticks:
            for stock in before.catalogue.rolls:
                if stock.name == event.stock and stock.length is not None:
                    rack[stock.mesh, stock.width, stock.length] -= event.missing
    for kit in before.catalogue.kits:
        if kit.mesh is not None:
            rack[kit.mesh.mesh, kit.mesh.width, kit.mesh.length] += kit.mesh.count * came.opened[kit.name]
    for group in plan.roll_groups:
        for roll in group.rolls:
            cut = [each for each in roll.crosscuts if (group.mesh, each.number) in done]
            end_gone = (group.mesh, roll.number, 0) in rests
            if any((group.mesh, roll.number, each.number) in rests for each in roll.crosscuts if each not in cut) or (
                end_gone and len(cut) < len(roll.crosscuts)
            ):
                yield Fault(
                    where=f"mesh {group.mesh} roll {roll.number}", rule="what left a piece over is cut", amount=1
                )
            flaws = [e for e in events if isinstance(e, RollFlaw) and (e.mesh, e.number) == (group.mesh, roll.number)]
            if not cut and not flaws and roll.length is not None:
                continue
            rules = before.rules
            whole = running.pop(roll.stock, 0) if roll.length is None else roll.length
            if roll.length is not None:
                rack[group.mesh, roll.width, roll.length] -= 1
            rest = whole - sum(each.length + rules.crosscut_extra for each in cut)
            for piece in () if end_gone else _between(rest, flaws):
                rack[group.mesh, roll.width, piece] += 1
            for each in cut:
                if (group.mesh, roll.number, each.number) in rests:
                    continue
                side = roll.width - rules.selvage_trim - sum(strip.width for strip in each.strips)
                if side > 0 and side >= rules.useful_mesh_width and each.length >= max(1, rules.useful_mesh_length):
                    rack[group.mesh, side, each.length] += 1
    meshes = {stock.name: (stock.mesh, stock.width) for stock in before.catalogue.rolls}
    for name, length in running.items():
        if length:
            rack[*meshes[name], length] += 1
    for stock in after.catalogue.rolls:
        if stock.length is not None:
            rack[stock.mesh, stock.width, stock.length] -= stock.on_hand
    # A spare blank lies as it was cut; of equal spare blanks some may have lain turned.
    for (mesh, width, height), count in spare.items():
        upright = min(count, max(0, -rack[mesh, width, height])) if turned[mesh, width, height] else count
        rack[mesh, width, height] += upright
        rack[mesh, height, width] += count - upright
    for (mesh, width, height), count in rack.items():
        if count:
            where = f"rack {mesh} {width} x {height}"
            rule = "every roll is on hand, begun or cut" if count > 0 else "nothing is on hand that never came"
            yield Fault(where=where, rule=rule, amount=abs(count))


def _between(length: int, flaws: Sequence[RollFlaw]) -> list[int]:
    """Return the sound lengths, found by walking the roll from its free end."""
    edges = sorted((min(length, f.starts_at), min(length, f.starts_at + f.length)) for f in flaws)
    sound, reached = [], 0
    for start, end in edges:
        sound.append(start - reached)
        reached = max(reached, end)
    return [piece for piece in (*sound, length - reached) if piece > 0]
