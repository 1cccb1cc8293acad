"""Which openings hang on one facade, and which way the mesh that is cut for it lies."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable

from solver.openings import Opening
from solver.plan import Screen
from solver.problem import Problem
from solver.rules import Turning


def facade_of(opening: Opening) -> str:
    """Return the facade of an opening, one of its building and order; openings that name none hang on one together.

    Examples
    --------
    >>> from solver.lengths import inches
    >>> north = Opening(label="1", widths=(inches(30),), heights=(inches(40),), building="A", facade="north")
    >>> facade_of(north)
    ' / A / north'
    """
    return f"{opening.order} / {opening.building} / {opening.facade}"


def facades_of(problem: Problem) -> dict[str, str]:
    """Return the facade of each opening, if any mesh of the job lies one way by facade."""
    if not any(mesh.turning is Turning.FACADE for mesh in problem.catalogue.meshes):
        return {}
    return {opening.label: facade_of(opening) for opening in problem.openings}


def unnamed(problem: Problem, screens: Iterable[Screen]) -> list[str]:
    """Return the openings that name no facade, though their mesh lies one way on each."""
    facades = {opening.label: opening.facade for opening in problem.openings}
    one_way = {mesh.name for mesh in problem.catalogue.meshes if mesh.turning is Turning.FACADE}
    return [screen.opening for screen in screens if screen.mesh in one_way and not facades[screen.opening]]


def ways_of_pinned(problem: Problem, screens: Iterable[Screen]) -> dict[str, dict[str, bool]]:
    """Return, for each mesh that lies one way by facade, the facades with a blank cut, and whether it lay turned."""
    one_way = {mesh.name for mesh in problem.catalogue.meshes if mesh.turning is Turning.FACADE}
    facades = facades_of(problem)
    meshes = {screen.opening: screen.mesh for screen in screens}
    ways: dict[str, dict[str, bool]] = defaultdict(dict)
    for pin in problem.pinned_blanks:
        mesh = meshes.get(pin.opening, "")
        if mesh in one_way:
            ways[mesh].setdefault(facades[pin.opening], pin.turned)
    return ways


def facades_by_mesh(problem: Problem, screens: Iterable[Screen]) -> dict[tuple[str, str], str]:
    """Return the facade of (mesh, opening), for the meshes that lie one way by facade."""
    one_way = {mesh.name for mesh in problem.catalogue.meshes if mesh.turning is Turning.FACADE}
    facades = facades_of(problem)
    return {(screen.mesh, screen.opening): facades[screen.opening] for screen in screens if screen.mesh in one_way}
