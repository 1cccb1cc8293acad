"""What is left over of everything bought: sticks, mesh and hardware, as next job's stock."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field

from solver.catalogue import Hardware, Kit
from solver.lengths import Ticks
from solver.plan import KitUse, PurchaseLine, RollGroup, StickGroup
from solver.problem import Problem


@dataclass(frozen=True, kw_only=True, slots=True)
class Remains:
    """Leftovers, trimmed and ready to cut from.

    ``sticks`` counts usable lengths by (profile, colour); ``mesh`` counts pieces
    (usable width, length) by mesh; ``hardware`` holds amounts by kind and what
    it fits.
    """

    sticks: dict[tuple[str, str], Counter[int]] = field(default_factory=lambda: defaultdict(Counter))
    mesh: dict[str, Counter[tuple[int, int]]] = field(default_factory=lambda: defaultdict(Counter))
    hardware: Counter[tuple[Hardware, str]] = field(default_factory=Counter)


def remains(
    problem: Problem,
    stick_groups: Iterable[StickGroup],
    roll_groups: Iterable[RollGroup],
    kits: Iterable[KitUse],
    lines: Iterable[PurchaseLine],
) -> Remains:
    """Return what a plan leaves: kept offcuts and mesh, uncut sticks and rolls, what kits and packs hold beyond need.

    Parameters
    ----------
    problem
        The job.
    stick_groups, roll_groups
        Every cut of the plan.
    kits
        The kits opened.
    lines
        The purchase lines of stock and hardware.
    """
    left = Remains()
    trim, selvage = problem.rules.end_trim, problem.rules.selvage_trim
    for group in stick_groups:
        for stick in group.sticks:
            if stick.kept:
                # Its first end is the clean last cut.
                left.sticks[group.profile, group.colour][stick.offcut - trim] += 1
    for rolls in roll_groups:
        for piece in rolls.leftovers:
            left.mesh[rolls.mesh][piece.width - 2 * selvage, piece.length] += 1
    _add_kits(problem, left, kits)
    _add_lines(problem, left, lines)
    return left


def _add_kits(problem: Problem, left: Remains, kits: Iterable[KitUse]) -> None:
    rules = problem.rules
    meshes = {kit.name: kit.mesh.mesh for kit in problem.catalogue.kits if kit.mesh is not None}
    for use in kits:
        for content in use.contents:
            rest = content.there - content.used
            if content.hardware is not None:
                left.hardware[content.hardware, content.fits] += rest
            elif content.width is not None and content.length is not None:
                left.mesh[meshes[use.kit]][content.width - 2 * rules.selvage_trim, content.length] += rest
            elif content.length is not None:
                left.sticks[use.profile, use.colour][content.length - 2 * rules.end_trim] += rest


def _add_lines(problem: Problem, left: Remains, lines: Iterable[PurchaseLine]) -> None:
    stock, rules = problem.catalogue, problem.rules
    sticks = {stick.name: stick for stick in stock.sticks}
    rolls = {roll.name: roll for roll in stock.rolls}
    packs = {pack.name: pack for pack in stock.packs}
    kits = {kit.name: kit for kit in stock.kits}
    for line in lines:
        if not line.left:
            continue
        if line.stock in kits:
            _add_whole_kits(problem, left, kits[line.stock], line.left)
            continue
        if line.what.startswith("stick ") and line.stock in sticks:
            stick = sticks[line.stock]
            left.sticks[stick.profile, stick.colour][stick.usable_length(rules.end_trim)] += line.left
        elif line.what.startswith(("roll ", "running length ")) and line.stock in rolls:
            roll = rolls[line.stock]
            width = roll.usable_width(rules.selvage_trim)
            if roll.length is not None:
                left.mesh[roll.mesh][width, roll.length] += line.left
            elif line.left >= rules.useful_mesh_length and roll.width >= rules.useful_mesh_width:
                left.mesh[roll.mesh][width, Ticks(line.left)] += 1
        elif line.stock in packs:
            pack = packs[line.stock]
            left.hardware[pack.hardware, pack.fits] += line.left


def _add_whole_kits(problem: Problem, left: Remains, kit: Kit, count: int) -> None:
    rules = problem.rules
    for sticks in kit.sticks:
        left.sticks[kit.profile, kit.colour][sticks.length - 2 * rules.end_trim] += sticks.count * count
    for content in kit.hardware:
        left.hardware[content.hardware, content.fits] += content.amount * count
    if kit.mesh is not None:
        piece = (kit.mesh.width - 2 * rules.selvage_trim, kit.mesh.length)
        left.mesh[kit.mesh.mesh][piece] += kit.mesh.count * count
