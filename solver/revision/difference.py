"""What changed from one revision to the next, in the shop's terms."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence

from solver.lengths import Ticks
from solver.money import Cents
from solver.plan import Place, Plan
from solver.problem import Problem
from solver.revision.choosing import Chosen, old_numbers
from solver.revision.pinning import Moved
from solver.revision.record import CutChange, Difference, Reprint, Revision, SpareHardware, SpareMesh, SpareStick
from solver.revision.stock import Rack
from solver.revision.work import Work


def difference(
    before: Revision,
    problem: Problem,
    plan: Plan,
    rack: Rack,
    answers: Sequence[Chosen],
    moved: Sequence[Moved],
    work: Work,
) -> Difference:
    """Return what to cut now, what to buy more, what became spare and which labels to print again."""
    to_cut = list(_to_cut(rack, answers))
    changed = {(change.group, change.number) for change in to_cut if change.was is None}
    kept = {(change.group, change.was) for change in to_cut}
    anew = sum(
        answer.cost_anew - answer.group.proof.cost for answer in answers if answer.group.proof.measure == "cents"
    )
    return Difference(
        to_cut=tuple(sorted(to_cut, key=lambda change: (change.was is not None, change.group, change.number))),
        buy=tuple(line for line in plan.purchases if line.buy),
        spare_sticks=tuple(_spare_sticks(before, problem, plan)),
        spare_mesh=tuple(_spare_mesh(before, problem, plan)),
        spare_hardware=tuple(_spare_hardware(before, problem, plan)),
        reprints=tuple(_reprints(before.plan, plan, changed, moved)),
        reused=len(moved),
        changes=sum(answer.changes for answer in answers),
        kept=sum(answer.kept for answer in answers),
        money=plan.total,
        money_anew=None if plan.total is None else Cents(plan.total + anew),
        dropped=tuple(one for one in _was_to_cut(before.plan, work) if one not in kept),
    )


def _to_cut(rack: Rack, answers: Iterable[Chosen]) -> Iterator[CutChange]:
    old = [*rack.sticks, *rack.wanting]
    for answer in answers:
        for group, number, was in old_numbers(answer.group, old, rack.rolls):
            yield CutChange(group=group, number=number, was=was)


def _was_to_cut(plan: Plan, work: Work) -> Iterator[tuple[str, int]]:
    """Yield group and number of what a plan meant to cut and the work has not cut whole."""
    for group in plan.stick_groups:
        for stick in group.sticks:
            if len(work.cut.get((group.profile, group.colour, stick.number), ())) < len(stick.rails):
                yield f"{group.profile} {group.colour}".strip(), stick.number
    for mesh_group in plan.roll_groups:
        for cut in (cut for roll in mesh_group.rolls for cut in roll.crosscuts):
            if (mesh_group.mesh, cut.number) not in work.crosscuts:
                yield mesh_group.mesh, cut.number


def _rest(problem: Problem, plan: Plan) -> tuple[Counter[str], Counter[str], Counter[str]]:
    """Return how many sticks, rolls and pack contents on hand, or bought beyond the need, a plan leaves alone."""
    sticks = Counter({stick.name: stick.on_hand for stick in problem.catalogue.sticks})
    rolls = Counter({roll.name: roll.on_hand for roll in problem.catalogue.rolls})
    packs = Counter({pack.name: pack.on_hand for pack in problem.catalogue.packs})
    for line in plan.purchases:
        kind = sticks if line.what.startswith("stick ") else rolls if line.what.startswith("roll ") else packs
        if line.stock in kind:
            kind[line.stock] += line.left - line.on_hand
    return sticks, rolls, packs


def _spare_sticks(before: Revision, problem: Problem, plan: Plan) -> Iterator[SpareStick]:
    was, now = _rest(before.problem, before.plan)[0], _rest(problem, plan)[0]
    for stick in problem.catalogue.sticks:
        count = now[stick.name] - was[stick.name]
        if count > 0 and stick.length >= problem.rules.useful_offcut:
            yield SpareStick(
                profile=stick.profile,
                colour=stick.colour,
                length=stick.length,
                count=count,
                stock=stick.name,
                leftover=stick.leftover,
            )


def _spare_mesh(before: Revision, problem: Problem, plan: Plan) -> Iterator[SpareMesh]:
    rules = problem.rules
    was, now = _rest(before.problem, before.plan)[1], _rest(problem, plan)[1]
    for roll in problem.catalogue.rolls:
        count = now[roll.name] - was[roll.name]
        useful = roll.width >= rules.useful_mesh_width and (roll.length or 0) >= rules.useful_mesh_length
        if count > 0 and roll.length is not None and useful:
            yield SpareMesh(
                mesh=roll.mesh,
                width=roll.width,
                length=roll.length,
                count=count,
                stock=roll.name,
                leftover=roll.leftover,
            )


def _spare_hardware(before: Revision, problem: Problem, plan: Plan) -> Iterator[SpareHardware]:
    was, now = _rest(before.problem, before.plan)[2], _rest(problem, plan)[2]
    for pack in problem.catalogue.packs:
        amount = now[pack.name] - was[pack.name]
        if amount > 0 and pack.name in was:
            yield SpareHardware(stock=pack.name, amount=amount, by_length=pack.hardware.by_length)


def _reprints(old: Plan, new: Plan, changed: set[tuple[str, int]], moved: Iterable[Moved]) -> Iterator[Reprint]:
    for move in moved:
        why = "cut for another screen" if move.was else "a miscut that fits here"
        yield Reprint(opening=move.opening, copy=move.copy, place=move.place, why=why, was=move.was)
    rails_before, blanks_before = _rails_by_place(old), _blanks_by_place(old)
    for group in new.stick_groups:
        name = f"{group.profile} {group.colour}".strip()
        for stick in group.sticks:
            for rail in stick.rails:
                was = rails_before.get((rail.opening, rail.copy, rail.place))
                now = (group.profile, group.colour, rail.length)
                if was is None:
                    yield Reprint(opening=rail.opening, copy=rail.copy, place=rail.place, why="new")
                elif was != now:
                    why = "another size, profile or colour"
                    yield Reprint(opening=rail.opening, copy=rail.copy, place=rail.place, why=why)
                elif (name, stick.number) in changed:
                    yield Reprint(opening=rail.opening, copy=rail.copy, place=rail.place, why="another stick")
    for mesh_group in new.roll_groups:
        for cut in (cut for roll in mesh_group.rolls for cut in roll.crosscuts):
            for blank in (blank for strip in cut.strips for blank in strip.blanks):
                was_blank = blanks_before.get((blank.opening, blank.copy))
                if was_blank is None:
                    yield Reprint(opening=blank.opening, copy=blank.copy, place=None, why="new")
                elif was_blank != (mesh_group.mesh, {blank.across, blank.along}):
                    yield Reprint(opening=blank.opening, copy=blank.copy, place=None, why="another size or mesh")
                elif (mesh_group.mesh, cut.number) in changed:
                    yield Reprint(opening=blank.opening, copy=blank.copy, place=None, why="another crosscut")


def _rails_by_place(plan: Plan) -> Mapping[tuple[str, int, Place], tuple[str, str, Ticks]]:
    return {
        (rail.opening, rail.copy, rail.place): (group.profile, group.colour, rail.length)
        for group in plan.stick_groups
        for stick in group.sticks
        for rail in stick.rails
    }


def _blanks_by_place(plan: Plan) -> Mapping[tuple[str, int], tuple[str, set[Ticks]]]:
    return {
        (blank.opening, blank.copy): (group.mesh, {blank.across, blank.along})
        for group in plan.roll_groups
        for roll in group.rolls
        for cut in roll.crosscuts
        for strip in cut.strips
        for blank in strip.blanks
    }
