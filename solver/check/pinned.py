"""Recount a revision: nothing cut is lost, cut again or invented, and every stick, roll and pack is somewhere."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence

from solver.check.fault import Fault
from solver.check.pinned_mesh import mesh_balance_faults
from solver.check.wholes import bought_pieces
from solver.events import (
    DamagedStick,
    Event,
    EverythingCut,
    HardwareMissing,
    Miscut,
    NotThere,
    RailCut,
    RailMissing,
    StickCut,
)
from solver.handed_over import HandedOver
from solver.plan import CutStick, Place, Plan
from solver.problem import Problem

_Cut = dict[tuple[str, str, int], dict[int, int]]


def pinned_faults(
    before: Problem, plan: Plan, events: Sequence[Event], after: Problem, new: Plan, struck: Sequence[HandedOver] = ()
) -> list[Fault]:
    """Return every broken rule of a revision that the recount of its plan alone cannot see.

    Parameters
    ----------
    before, plan
        The revision before.
    events
        What happened since.
    after, new
        The revision to recount.
    struck
        Own leftovers that were handed over to the rack of all jobs since.
    """
    return [
        *_stick_faults(before, plan, events, after, new, struck),
        *mesh_balance_faults(before, plan, events, after, new, struck),
        *_pack_faults(before, plan, events, after),
    ]


def _marked(before: Problem, plan: Plan, events: Sequence[Event]) -> tuple[_Cut, Counter[tuple[str, int, Place, int]]]:
    """Return the true length of every rail cut by now, and the miscuts among rails pinned before."""
    sticks = {(g.profile, g.colour, s.number): s for g in plan.stick_groups for s in g.sticks}
    cut: _Cut = defaultdict(dict)
    wrong: Counter[tuple[str, int, Place, int]] = Counter()
    rails = [
        (key, place, (rail.opening, rail.copy, rail.place))
        for key, stick in sticks.items()
        for place, rail in enumerate(stick.rails)
    ]
    spots: dict[tuple[object, ...], list[tuple[tuple[str, str, int], int]]] = defaultdict(list)
    for key, place, name in rails:
        spots[name].append((key, place))
    miscut: set[tuple[tuple[str, str, int], int]] = set()
    for event in events:
        if isinstance(event, EverythingCut | StickCut):
            for key, stick in sticks.items():
                if isinstance(event, EverythingCut) or key == (event.profile, event.colour, event.number):
                    cut[key] = {place: cut[key].get(place, rail.length) for place, rail in enumerate(stick.rails)}
        elif isinstance(event, RailCut):
            free = [at for at in spots[event.opening, event.copy, event.place] if at[1] not in cut[at[0]]]
            for key, place in free[:1]:
                cut[key][place] = sticks[key].rails[place].length
        elif isinstance(event, Miscut):
            free = [at for at in spots[event.opening, event.copy, event.place] if at not in miscut]
            for key, place in free[:1]:
                cut[key][place] = event.length
                miscut.add((key, place))
            if not free:
                wrong[event.opening, event.copy, event.place, event.length] += 1
    return cut, wrong


def _lost(plan: Plan, events: Sequence[Event], cut: _Cut) -> Counter[tuple[str, int, Place]]:
    """Return how many rails of each name are lost; those of this plan count as cut, as long as they were planned."""
    lost = Counter((e.opening, e.copy, e.place) for e in events if isinstance(e, RailMissing))
    open_rails = Counter(lost)
    for group in plan.stick_groups:
        for stick in group.sticks:
            for place, rail in enumerate(stick.rails):
                name = (rail.opening, rail.copy, rail.place)
                done = cut[group.profile, group.colour, stick.number]
                if open_rails[name] and done.get(place, rail.length) == rail.length:
                    done[place] = rail.length
                    open_rails[name] -= 1
    return lost


def _stick_faults(
    before: Problem, plan: Plan, events: Sequence[Event], after: Problem, new: Plan, struck: Sequence[HandedOver]
) -> Iterator[Fault]:
    cut, wrong = _marked(before, plan, events)
    lost = _lost(plan, events, cut)
    had = {screen.opening: (screen.profile, screen.colour) for screen in plan.screens}
    has = {screen.opening: (screen.profile, screen.colour) for screen in new.screens}
    pieces: Counter[tuple[str, str, int]] = Counter()
    good: Counter[tuple[object, ...]] = Counter()
    for group in plan.stick_groups:
        for stick in group.sticks:
            for place, length in cut.get((group.profile, group.colour, stick.number), {}).items():
                rail = stick.rails[place]
                name = (rail.opening, rail.copy, rail.place)
                if lost[name] and length == rail.length:
                    lost[name] -= 1
                    continue
                pieces[group.profile, group.colour, length] += 1
                if length == rail.length:
                    good[group.profile, group.colour, rail.opening, rail.copy, rail.place, length] += 1
    for pin in before.pinned_rails:
        named = [key for key in wrong if key[:3] == (pin.opening, pin.copy, pin.place) and wrong[key] > 0]
        if lost[pin.opening, pin.copy, pin.place]:
            lost[pin.opening, pin.copy, pin.place] -= 1
        elif named:
            wrong[named[0]] -= 1
            pieces[*had[pin.opening], named[0][3]] += 1
        else:
            pieces[*had[pin.opening], pin.length] += 1
            good[*had[pin.opening], pin.opening, pin.copy, pin.place, pin.length] += 1
    pinned: Counter[tuple[object, ...]] = Counter()
    for pin in after.pinned_rails:
        pieces[*has.get(pin.opening, ("", "")), pin.length] -= 1
        pinned[*has.get(pin.opening, ("", "")), pin.opening, pin.copy, pin.place, pin.length] += 1
    for (profile, colour, length), count in pieces.items():
        if count < 0:
            where = f"pinned rails {profile} {colour} of length {length}"
            yield Fault(where=where, rule="no more are pinned than were cut", amount=-count)
    wanted = {
        (s.profile, s.colour, s.opening, copy, rail.place, rail.length)
        for s in new.screens
        for copy in range(1, s.quantity + 1)
        for rail in s.rails
    }
    for made, count in good.items():
        if made in wanted and pinned[made] < count:
            words = " ".join(str(getattr(word, "value", word)) for word in made)
            yield Fault(where=words, rule="what is cut and still wanted stays pinned", amount=count - pinned[made])
    yield from _rack_faults(before, plan, events, after, cut, pieces, struck)


def _rack_faults(
    before: Problem,
    plan: Plan,
    events: Sequence[Event],
    after: Problem,
    cut: _Cut,
    spare: Counter[tuple[str, str, int]],
    struck: Sequence[HandedOver],
) -> Iterator[Fault]:
    """Compare the sticks on hand with those before, what came, what was begun and what came back."""
    rack: Counter[tuple[str, str, int, str]] = Counter()
    for (profile, colour, length), count in spare.items():
        rack[profile, colour, length, "clean"] += count
    in_plan = {(group.profile, group.colour, stick.number) for group in plan.stick_groups for stick in group.sticks}
    rests = {(p.profile, p.colour, p.number) for p in struck if p.profile and p.number} & in_plan
    for piece in struck:
        if piece.profile and (piece.profile, piece.colour, piece.number) not in rests:
            ends = "clean" if piece.both_ends_clean else "leftover"
            rack[piece.profile, piece.colour, piece.length, ends] -= 1
    sorts = {}
    for stock in before.catalogue.sticks:
        ends = "clean" if stock.both_ends_clean else "leftover" if stock.leftover else "whole"
        sorts[stock.name] = (stock.profile, stock.colour, stock.length, ends)
        rack[sorts[stock.name]] += stock.on_hand
    came = bought_pieces(before, plan, events)
    for name, count in came.sticks.items():
        rack[sorts[name]] += count
    for event in events:
        if isinstance(event, NotThere) and event.stock in sorts:
            rack[sorts[event.stock]] -= event.missing
    for kit in before.catalogue.kits:
        for held in kit.sticks:
            rack[kit.profile, kit.colour, held.length, "whole"] += held.count * came.opened[kit.name]
    damaged = {(e.profile, e.colour, e.number): e.sound for e in events if isinstance(e, DamagedStick)}
    for group in plan.stick_groups:
        for stick in group.sticks:
            key = (group.profile, group.colour, stick.number)
            done = cut.get(key, {})
            if key in rests and len(done) < len(stick.rails):
                yield Fault(where=f"{' '.join(key[:2])} stick {key[2]}", rule="what left a piece over is cut", amount=1)
            if not done and key not in damaged:
                continue
            ends = "whole" if stick.from_kit else sorts[stick.stock][3]
            rack[group.profile, group.colour, stick.length, ends] -= 1
            if key in rests:
                continue
            if key in damaged:
                for sound in damaged[key]:
                    rack[group.profile, group.colour, sound, "leftover"] += 1
                continue
            left = _left(stick, list(done.values()), group.joint_kerf, before.rules.end_trim * (ends == "whole"))
            if left > 0:
                back = "clean" if ends == "clean" else "leftover"
                rack[group.profile, group.colour, left, back] += 1
    for stock in after.catalogue.sticks:
        ends = "clean" if stock.both_ends_clean else "leftover" if stock.leftover else "whole"
        rack[stock.profile, stock.colour, stock.length, ends] -= stock.on_hand
    for (profile, colour, length, ends), count in rack.items():
        if count:
            where = f"rack {profile} {colour} {ends} of length {length}"
            rule = "every stick is on hand, begun or pinned" if count > 0 else "nothing is on hand that never came"
            yield Fault(where=where, rule=rule, amount=abs(count))


def _left(stick: CutStick, cut: list[int], kerf: int, trim: int) -> int:
    return stick.length - trim - sum(cut) - kerf * len(cut)


def _pack_faults(before: Problem, plan: Plan, events: Sequence[Event], after: Problem) -> Iterator[Fault]:
    """Compare the hardware on hand, kind by kind: none is booked as used before the job ends."""
    there: Counter[tuple[object, str]] = Counter()
    for pack in before.catalogue.packs:
        there[pack.hardware, pack.fits] += pack.on_hand
    came = bought_pieces(before, plan, events)
    for pack in before.catalogue.packs:
        there[pack.hardware, pack.fits] += pack.size * came.packs[pack.name]
    for sort, count in came.unlisted.items():
        there[sort] += count
    for kit in before.catalogue.kits:
        for held in kit.hardware:
            there[held.hardware, held.fits] += held.amount * came.opened[kit.name]
    packs = {pack.name: (pack.hardware, pack.fits) for pack in before.catalogue.packs}
    held_by = {(s.opening, need.hardware): need.fits for s in plan.screens for need in s.needs}
    for event in events:
        if isinstance(event, NotThere) and event.stock in packs and event.stock not in _rails_and_rolls(before):
            there[packs[event.stock]] -= event.missing
        elif isinstance(event, HardwareMissing):
            there[event.hardware, held_by.get((event.opening, event.hardware), "")] -= event.amount
    for pack in after.catalogue.packs:
        there[pack.hardware, pack.fits] -= pack.on_hand
    for (hardware, fits), count in there.items():
        if count:
            where = f"{getattr(hardware, 'value', hardware)} {fits}".strip()
            yield Fault(where=where, rule="what came is on hand until the job ends", amount=abs(count))


def _rails_and_rolls(problem: Problem) -> set[str]:
    return {stick.name for stick in problem.catalogue.sticks} | {roll.name for roll in problem.catalogue.rolls}
