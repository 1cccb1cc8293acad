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
    may_turn = {mesh.name for mesh in problem.catalogue.meshes if mesh.turning is Turning.FREE}
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
