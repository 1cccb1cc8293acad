"""Recount the pieces: every rail and every blank of every copy exactly once, in its own group."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping

from solver.check.fault import Fault
from solver.plan import Plan
from solver.problem import Problem
from solver.rules import Turning


def piece_faults(problem: Problem, plan: Plan) -> Iterator[Fault]:
    """Yield pieces that are missing, cut twice, or cut from the wrong profile, colour or mesh."""
    rails: Counter[tuple[object, ...]] = Counter()
    blanks: Counter[tuple[object, ...]] = Counter()
    for screen in plan.screens:
        for copy in range(1, screen.quantity + 1):
            for rail in screen.rails:
                rails[screen.profile, screen.colour, screen.opening, copy, rail.place, rail.length] += 1
            blanks[screen.mesh, screen.opening, copy, screen.blank_width, screen.blank_height] += 1
    groups = {screen.opening: (screen.profile, screen.colour, screen.mesh) for screen in plan.screens}
    for pin in problem.pinned_rails:
        profile, colour, _ = groups.get(pin.opening, ("", "", ""))
        rails[profile, colour, pin.opening, pin.copy, pin.place, pin.length] -= 1
    for pinned in problem.pinned_blanks:
        mesh = groups.get(pinned.opening, ("", "", ""))[2]
        blanks[mesh, pinned.opening, pinned.copy, pinned.width, pinned.height] -= 1
    cut_rails = (
        (group.profile, group.colour, rail.opening, rail.copy, rail.place, rail.length)
        for group in plan.stick_groups
        for stick in group.sticks
        for rail in stick.rails
    )
    yield from _difference("rail", rails, cut_rails)
    cut_blanks = (
        (group.mesh, blank.opening, blank.copy, *_upright(blank.across, blank.along, turned=blank.turned))
        for group in plan.roll_groups
        for roll in group.rolls
        for crosscut in roll.crosscuts
        for strip in crosscut.strips
        for blank in strip.blanks
    )
    yield from _difference("blank", blanks, cut_blanks)
    yield from _turn_faults(problem, plan)


def _upright(across: int, along: int, *, turned: bool) -> tuple[int, int]:
    return (along, across) if turned else (across, along)


def _difference(
    what: str, wanted: Mapping[tuple[object, ...], int], cut: Iterable[tuple[object, ...]]
) -> Iterator[Fault]:
    open_pieces = Counter(wanted)
    open_pieces.subtract(cut)
    for piece, missing in open_pieces.items():
        if missing:
            rule = f"every {what} is cut once" if missing > 0 else f"no {what} is cut that nobody wants"
            words = " ".join(str(getattr(word, "value", word)) for word in piece)
            yield Fault(where=words, rule=rule, amount=abs(missing))


def _turn_faults(problem: Problem, plan: Plan) -> Iterator[Fault]:
    yield from _facade_faults(problem, plan)
    may_turn = {mesh.name for mesh in problem.catalogue.meshes if mesh.turning is not Turning.NEVER}
    for group in plan.roll_groups:
        if group.mesh in may_turn:
            continue
        turned = sum(
            blank.turned
            for roll in group.rolls
            for crosscut in roll.crosscuts
            for strip in crosscut.strips
            for blank in strip.blanks
        )
        if turned:
            yield Fault(where=f"mesh {group.mesh}", rule="this mesh is never turned", amount=turned)


def _facade_faults(problem: Problem, plan: Plan) -> Iterator[Fault]:
    """Yield the facades on which a mesh that should lie one way lies both ways, what is cut already included."""
    one_way = {mesh.name for mesh in problem.catalogue.meshes if mesh.turning is Turning.FACADE}
    where = {opening.label: (opening.order, opening.building, opening.facade) for opening in problem.openings}
    meshes = {screen.opening: screen.mesh for screen in plan.screens}
    lies: Counter[tuple[str, tuple[str, str, str], bool]] = Counter()
    for pin in problem.pinned_blanks:
        if meshes.get(pin.opening) in one_way:
            lies[meshes[pin.opening], where[pin.opening], pin.turned] += 1
    for group in plan.roll_groups:
        if group.mesh in one_way:
            for roll in group.rolls:
                for strip in (strip for crosscut in roll.crosscuts for strip in crosscut.strips):
                    for blank in strip.blanks:
                        lies[group.mesh, where[blank.opening], blank.turned] += 1
    for mesh, facade, turned in list(lies):
        if turned and (upright := lies[mesh, facade, False]):
            words = " ".join(word for word in facade if word)
            yield Fault(
                where=f"mesh {mesh} {words}".strip(),
                rule="this mesh lies one way on a facade",
                amount=min(upright, lies[mesh, facade, True]),
            )
