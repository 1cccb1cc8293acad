"""Small rail and mesh parts for tests, and what their answers cut."""

from __future__ import annotations

from typing import Any

from solver.catalogue import Corner
from solver.lengths import Ticks
from solver.parts import BlankPart, BlankRun, RailPart, RailRun
from solver.plan import Place, RollGroup, StickGroup
from solver.rules import Rules
from tests.builders import COLOUR, MESH, PROFILE, roll, stick


def rails(opening: str, length: Ticks, quantity: int = 1, place: Place = Place.TOP) -> RailRun:
    """Equal rails of one opening."""
    return RailRun(opening=opening, place=place, length=length, quantity=quantity)


def rail_part(*runs: RailRun, rules: Rules | None = None, **other: Any) -> RailPart:
    """Rails to be cut from 96 in sticks at 8.00."""
    words: dict[str, Any] = {
        "profile": PROFILE,
        "colour": COLOUR,
        "corner": Corner.SQUARE,
        "runs": runs,
        "sticks": (stick(),),
        "rules": rules or Rules(),
    }
    return RailPart(**(words | other))


def blanks(opening: str, width: Ticks, height: Ticks, quantity: int = 1) -> BlankRun:
    """Equal blanks of one opening."""
    return BlankRun(opening=opening, width=width, height=height, quantity=quantity)


def blank_part(*runs: BlankRun, rules: Rules | None = None, **other: Any) -> BlankPart:
    """Blanks to be cut from rolls of 48 in x 100 ft at 60.00."""
    words: dict[str, Any] = {"mesh": MESH, "turns": False, "runs": runs, "rolls": (roll(),), "rules": rules or Rules()}
    return BlankPart(**(words | other))


def cut_labels(group: StickGroup) -> list[tuple[str, int, Place]]:
    """Every rail a group cuts, in saw order."""
    return [(rail.opening, rail.copy, rail.place) for stick in group.sticks for rail in stick.rails]


def blank_labels(group: RollGroup) -> list[tuple[str, int]]:
    """Every blank a group cuts, in cutting order."""
    return [
        (blank.opening, blank.copy)
        for roll in group.rolls
        for crosscut in roll.crosscuts
        for strip in crosscut.strips
        for blank in strip.blanks
    ]
