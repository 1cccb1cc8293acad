"""Split a sized job into its independent parts."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable

from solver.parts.facades import facades_of, ways_of_pinned
from solver.parts.pinned import PinnedCopies
from solver.parts.record import BlankPart, BlankRun, RailPart, RailRun
from solver.plan import Screen
from solver.problem import Problem
from solver.rules import Turning


def parts(problem: Problem, screens: Iterable[Screen]) -> tuple[RailPart | BlankPart, ...]:
    """Return the parts of a job: rails by profile and colour, then blanks by mesh, each by name; no pinned piece."""
    screens = tuple(screens)
    facades = facades_of(problem)
    pinned = PinnedCopies(problem)
    rails: dict[tuple[str, str], list[RailRun]] = defaultdict(list)
    blanks: dict[str, list[BlankRun]] = defaultdict(list)
    for screen in screens:
        for rail in screen.rails:
            cut = pinned.rail_copies(screen.opening, rail)
            if len(cut) < screen.quantity:
                rails[screen.profile, screen.colour].append(
                    RailRun(
                        opening=screen.opening,
                        place=rail.place,
                        length=rail.length,
                        quantity=screen.quantity - len(cut),
                        pinned=cut,
                    )
                )
        cut = pinned.blank_copies(screen)
        if len(cut) < screen.quantity:
            blanks[screen.mesh].append(
                BlankRun(
                    facade=facades.get(screen.opening, ""),
                    opening=screen.opening,
                    width=screen.blank_width,
                    height=screen.blank_height,
                    quantity=screen.quantity - len(cut),
                    pinned=cut,
                )
            )
    catalogue = problem.catalogue
    corners = {profile.name: profile.corner for profile in catalogue.profiles}
    turning = {mesh.name: mesh.turning for mesh in catalogue.meshes}
    ways = ways_of_pinned(problem, screens)
    rail_parts = [
        RailPart(
            profile=profile,
            colour=colour,
            corner=corners[profile],
            runs=tuple(runs),
            sticks=tuple(s for s in catalogue.sticks if (s.profile, s.colour) == (profile, colour)),
            rules=problem.rules,
            kits=tuple(kit for kit in catalogue.kits if (kit.profile, kit.colour) == (profile, colour)),
            unit=problem.unit,
        )
        for (profile, colour), runs in sorted(rails.items())
    ]
    blank_parts = [
        BlankPart(
            mesh=mesh,
            turns=turning[mesh] is Turning.FREE,
            one_way=turning[mesh] is Turning.FACADE,
            ways=tuple(sorted(ways.get(mesh, {}).items())),
            runs=tuple(runs),
            rolls=tuple(roll for roll in catalogue.rolls if roll.mesh == mesh),
            rules=problem.rules,
            kits=tuple(kit for kit in catalogue.kits if kit.mesh is not None and kit.mesh.mesh == mesh),
            unit=problem.unit,
        )
        for mesh, runs in sorted(blanks.items())
    ]
    return (*rail_parts, *blank_parts)
