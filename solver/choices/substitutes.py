"""Stock that is not to be had: which openings it hits, and what stands in for it at what cost."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from solver.choices.variations import OtherColour, OtherMesh, OtherProfile, Variation, Without
from solver.choices.what_if import Outcome, what_if
from solver.errors import ProblemError
from solver.limits import Limits
from solver.plan import Plan
from solver.problem import Problem
from solver.sizing import sized


@dataclass(frozen=True, kw_only=True, slots=True)
class Hit:
    """An opening that a plan cuts from some stock, and how many of its pieces."""

    opening: str
    pieces: int


def hit_by(plan: Plan, stock: str) -> tuple[Hit, ...]:
    """Return the openings with pieces cut from a stock, in the order of the plan."""
    pieces: dict[str, int] = {}
    for group in plan.stick_groups:
        for rail in (rail for stick in group.sticks if stick.stock == stock for rail in stick.rails):
            pieces[rail.opening] = pieces.get(rail.opening, 0) + 1
    for mesh_group in plan.roll_groups:
        for cut in (cut for roll in mesh_group.rolls if roll.stock == stock for cut in roll.crosscuts):
            for blank in (blank for strip in cut.strips for blank in strip.blanks):
                pieces[blank.opening] = pieces.get(blank.opening, 0) + 1
    return tuple(Hit(opening=opening, pieces=count) for opening, count in pieces.items())


def _screens_of(problem: Problem, profile: str, colour: str) -> frozenset[str]:
    """Return the openings whose screens have a profile and colour, by the sizing, which may have chosen the profile."""
    try:
        screens = sized(problem).screens
    except ProblemError:
        return frozenset(each.label for each in problem.openings if each.profile == profile and each.colour == colour)
    return frozenset(screen.opening for screen in screens if (screen.profile, screen.colour) == (profile, colour))


def substitutes(problem: Problem, stock: str, limits: Limits) -> tuple[Outcome, ...]:
    """Return what the job costs as it is, without a stock, and with each colour, profile or mesh that may stand in.

    For a stick: the other lengths of its profile and colour, every other colour
    of the profile, every other profile as thick, for the screens of that profile
    and colour alone. For a roll: the other widths, and every other mesh. For a kit:
    whatever else there is. One that cannot be planned says why.

    Parameters
    ----------
    problem
        The job with the stock still listed.
    stock
        Name of a stick, roll or kit.
    limits
        For each part of each plan.

    Raises
    ------
    KeyError
        If no stick, roll or kit has that name.
    """
    choices: dict[str, Sequence[Variation]] = {"other sizes": (Without(stock=(stock,)),)}
    catalogue = problem.catalogue
    stick = next((each for each in catalogue.sticks if each.name == stock), None)
    roll = next((each for each in catalogue.rolls if each.name == stock), None)
    if stick is not None:
        screens = _screens_of(problem, stick.profile, stick.colour)
        colours = {each.colour for each in catalogue.sticks if each.profile == stick.profile} - {stick.colour}
        for colour in sorted(colours):
            choices[f"colour {colour}"] = (
                Without(stock=(stock,)),
                OtherColour(colour=colour, only=screens),
            )
        thick = {profile.name: profile.thickness for profile in catalogue.profiles}
        for name in sorted(thick):
            if name != stick.profile and thick[name] == thick.get(stick.profile):
                choices[f"profile {name}"] = (Without(stock=(stock,)), OtherProfile(profile=name, only=screens))
    elif roll is not None:
        for mesh in sorted({each.name for each in catalogue.meshes} - {roll.mesh}):
            choices[f"mesh {mesh}"] = (Without(stock=(stock,)), OtherMesh(mesh=mesh, instead_of=roll.mesh))
    elif any(kit.name == stock for kit in catalogue.kits):
        choices = {"without this kit": choices["other sizes"]}
    else:
        raise KeyError(stock)
    return what_if(problem, choices, limits)
