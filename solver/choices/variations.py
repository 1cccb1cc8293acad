"""Choices to compare: each changes one thing of a problem and leaves the rest."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from difflib import get_close_matches

from solver.catalogue import Corner, StickStock
from solver.errors import ProblemError, ProblemFault
from solver.lengths import Ticks
from solver.money import Cents
from solver.openings import Opening
from solver.problem import Problem
from solver.rules import Turning


@dataclass(frozen=True, kw_only=True, slots=True)
class StickOnSale:
    """One more stick length on sale."""

    profile: str
    colour: str
    length: Ticks
    price: Cents | None

    def applied(self, problem: Problem) -> Problem:
        """Return the problem with that stick on sale."""
        stick = StickStock(
            name=f"what if {self.length}",
            profile=self.profile,
            colour=self.colour,
            length=self.length,
            price=self.price,
        )
        return _stock(problem, sticks=(*problem.catalogue.sticks, stick))


@dataclass(frozen=True, kw_only=True, slots=True)
class Without:
    """Some stock, by name, can be had no more: neither bought nor taken from the rack."""

    stock: tuple[str, ...]

    def applied(self, problem: Problem) -> Problem:
        """Return the problem without that stock.

        Raises
        ------
        ProblemError
            If a name is nobody's.
        """
        stock = problem.catalogue
        known = {stick.name for stick in stock.sticks} | {roll.name for roll in stock.rolls}
        known |= {kit.name for kit in stock.kits} | {pack.name for pack in stock.packs}
        if unknown := [name for name in self.stock if name not in known]:
            near = get_close_matches(unknown[0], sorted(known), 5) or sorted(known)[:5]
            message = f"no stock is called {', '.join(unknown)}; there is {', '.join(near)}"
            raise ProblemError((ProblemFault(source="", message=message),))
        return _stock(
            problem,
            sticks=tuple(stick for stick in stock.sticks if stick.name not in self.stock),
            rolls=tuple(roll for roll in stock.rolls if roll.name not in self.stock),
            kits=tuple(kit for kit in stock.kits if kit.name not in self.stock),
            packs=tuple(pack for pack in stock.packs if pack.name not in self.stock),
        )


@dataclass(frozen=True, kw_only=True, slots=True)
class OtherProfile:
    """Openings get this profile: all, or those that are named."""

    profile: str
    only: frozenset[str] | None = None

    def applied(self, problem: Problem) -> Problem:
        """Return the problem with that profile."""
        return _openings(problem, self.only, lambda opening: replace(opening, profile=self.profile))


@dataclass(frozen=True, kw_only=True, slots=True)
class OtherColour:
    """Openings get this colour: all, or those that are named."""

    colour: str
    only: frozenset[str] | None = None

    def applied(self, problem: Problem) -> Problem:
        """Return the problem in that colour."""
        return _openings(problem, self.only, lambda opening: replace(opening, colour=self.colour))


@dataclass(frozen=True, kw_only=True, slots=True)
class OtherMesh:
    """Openings get this mesh: all, or those of one mesh."""

    mesh: str
    instead_of: str | None = None

    def applied(self, problem: Problem) -> Problem:
        """Return the problem with that mesh."""
        return _openings(
            problem,
            None,
            lambda opening: replace(opening, mesh=self.mesh) if self.instead_of in (None, opening.mesh) else opening,
        )


@dataclass(frozen=True, kw_only=True, slots=True)
class Turned:
    """Whether mesh may be turned on the roll: one mesh, or all."""

    turning: Turning
    mesh: str | None = None

    def applied(self, problem: Problem) -> Problem:
        """Return the problem with that turning."""
        meshes = problem.catalogue.meshes
        return _stock(
            problem,
            meshes=tuple(
                replace(mesh, turning=self.turning) if self.mesh in (None, mesh.name) else mesh for mesh in meshes
            ),
        )


@dataclass(frozen=True, kw_only=True, slots=True)
class OtherCorner:
    """Every profile gets this corner; ``leg`` is the frame length a square-cut corner takes up."""

    corner: Corner
    leg: Ticks = Ticks(0)

    def applied(self, problem: Problem) -> Problem:
        """Return the problem with that corner."""
        profiles = problem.catalogue.profiles
        return _stock(
            problem,
            profiles=tuple(replace(profile, corner=self.corner, corner_leg=self.leg) for profile in profiles),
        )


@dataclass(frozen=True, kw_only=True, slots=True)
class HardwareSpares:
    """So much more hardware than needed, per mille."""

    per_mille: int

    def applied(self, problem: Problem) -> Problem:
        """Return the problem with those spares."""
        return replace(problem, rules=replace(problem.rules, hardware_spares=self.per_mille))


@dataclass(frozen=True, kw_only=True, slots=True)
class PhaseByPhase:
    """Each phase on its own, what is left carried to the next."""

    def applied(self, problem: Problem) -> Problem:
        """Return the problem as it is: it is planned another way."""
        return problem


Variation = (
    StickOnSale
    | Without
    | OtherProfile
    | OtherColour
    | OtherMesh
    | Turned
    | OtherCorner
    | HardwareSpares
    | PhaseByPhase
)


def _stock(problem: Problem, **lists: object) -> Problem:
    return replace(problem, catalogue=replace(problem.catalogue, **lists))  # type: ignore[arg-type]


def _openings(problem: Problem, only: frozenset[str] | None, change: Callable[[Opening], Opening]) -> Problem:
    changed = (change(each) if only is None or each.label in only else each for each in problem.openings)
    return replace(problem, openings=tuple(changed))
