"""Solved jobs for the pages' tests: a small block solved for real, and a large plan laid out plainly."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import Any

from solver.catalogue import Hardware
from solver.lengths import Ticks, inches
from solver.openings import Opening
from solver.plan import CutRail, CutStick, Place, Plan
from solver.problem import Problem
from solver.solve import solve
from tests.builders import limits, opening, pack, problem, roll, stick


def block_openings(count: int = 24) -> tuple[Opening, ...]:
    """Openings of one building, four flats a floor, one window each, of eight sizes."""
    return tuple(
        opening(
            f"B1-{floor}0{flat}-LR",
            widths=(inches(24 + flat * 3, (floor % 4) * 4 + 1, 16),),
            heights=(inches(36 + flat * 4, 5, 16), inches(36 + flat * 4, 3, 8)),
            building="B1",
            floor=str(floor),
            unit=f"{floor}0{flat}",
            room="living room",
            order=f"WO-{floor}",
        )
        for floor, flat in ((number // 4 + 1, number % 4 + 1) for number in range(count))
    )


def block_problem(*extra: Opening, **other: Any) -> Problem:
    words: dict[str, Any] = {
        "currency": "USD",
        "name": "Maple Court",
        "sticks": (stick(), stick("12 ft", inches(144), 1_150)),
        "rolls": (roll(), roll("36 in x 100 ft", inches(36), 4_500)),
        "packs": (pack(Hardware.CORNER, 25, 900), pack(Hardware.SPLINE, inches(1_200), 1_400)),
    }
    openings = (*block_openings(), opening("type C", widths=(inches(30),), heights=(inches(50),), quantity=6), *extra)
    return problem(*openings, **(words | other))


@cache
def solved_block() -> tuple[Problem, Plan]:
    """A block of 24 windows and a type of six, solved."""
    made = block_problem()
    return made, solve(made, limits())


def large_plan(count: int) -> tuple[Problem, Plan]:
    """``count`` openings, each cut from its own two sticks: large as it comes, no search needed."""
    small, plan = solved_block()
    screen, group = plan.screens[0], plan.stick_groups[0]
    labels = [f"T{number // 400 + 1}-{number % 400 + 1:03}-{number:06}" for number in range(count)]
    screens = tuple(replace(screen, opening=label) for label in labels)
    opened = tuple(replace(small.openings[0], label=label, order=f"WO-{label[:3]}") for label in labels)
    sticks = tuple(
        _own_stick(number, label, half, screen.rails[0].length)
        for number, (label, half) in enumerate(((label, half) for label in labels for half in (0, 1)), start=1)
    )
    laid_out = replace(plan, screens=screens, stick_groups=(replace(group, sticks=sticks),), roll_groups=())
    return replace(small, openings=opened), laid_out


def _own_stick(number: int, label: str, half: int, length: Ticks) -> CutStick:
    places = ((Place.TOP, Place.LEFT), (Place.BOTTOM, Place.RIGHT))[half]
    rails = tuple(CutRail(opening=label, copy=1, place=place, length=Ticks(length - 127 * half)) for place in places)
    offcut = Ticks(inches(96) - sum(rail.length for rail in rails) - inches(0, 1, 2))
    return CutStick(number=number, stock="8 ft", length=inches(96), rails=rails, offcut=offcut, kept=True)
