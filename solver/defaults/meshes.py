"""Meshes by what their name says, the rolls they come on, and the spline that holds them."""

from __future__ import annotations

import re
from collections.abc import Iterator
from fractions import Fraction

from solver.catalogue import Mesh, RollStock, SplineChoice
from solver.defaults.profiles import MEMORY
from solver.lengths import Unit, inches, mm, ticks
from solver.rules import Turning

DEFAULT_MESH = "glass 18x16"
_COUNTS = re.compile(r"\b([0-9]{2}) ?[x×] ?([0-9]{2})\b")
_ROLL_SOURCE = "widths and 100 ft or 30 m: general encyclopaedia, article Window screen; which widths: from memory"

# Word in the name, thread in thousandths of an inch, whether it may be turned, whether it is heavy.
_CLOTHS: tuple[tuple[str, int | None, Turning, bool], ...] = (
    ("solar", None, Turning.NEVER, True),
    ("pet", 25, Turning.FREE, True),
    ("stainless", 9, Turning.NEVER, False),
    ("steel", 9, Turning.NEVER, False),
    ("alumin", 11, Turning.NEVER, False),
    ("glass", 11, Turning.NEVER, False),
)


def default_mesh(name: str) -> Mesh:
    """Return a mesh by what its name says: thread counts, cloth, or nothing at all.

    Solar cloth is ribbed and never turned; pet cloth may turn; the others keep
    one direction until the shop says otherwise.

    References
    ----------
    Solar cloth: ASTM D4028, 1.1. Other turning: common practice, no source.
    Thread diameters: from memory, to be verified.

    Examples
    --------
    >>> glass = default_mesh("glass 18x16")
    >>> glass.count_across, glass.count_along, glass.thread_inches
    (18, 16, Fraction(11, 1000))
    """
    counts = _COUNTS.search(name)
    cloth = next((each for each in _CLOTHS if each[0] in name.casefold()), None)
    word, thousandths, turning, heavy = cloth or ("", None, Turning.NEVER, False)
    thread = Fraction(thousandths, 1000) if thousandths and counts else None
    return Mesh(
        name=name,
        turning=turning,
        count_across=int(counts[1]) if counts else None,
        count_along=int(counts[2]) if counts else None,
        thread_inches=thread,
        heavy=heavy,
        source=MEMORY if word else "named in the openings, nothing else known",
    )


def rolls(unit: Unit, meshes: tuple[str, ...]) -> Iterator[RollStock]:
    """Yield the usual rolls of every mesh; in metres also cut to length from the supplier's roll."""
    for mesh in meshes:
        yield from _inch_rolls(mesh) if unit is Unit.INCH else _metric_rolls(mesh)


def _inch_rolls(mesh: str) -> Iterator[RollStock]:
    sizes = [(width, 25) for width in (36, 48)] + [(width, 100) for width in (36, 48, 60, 72, 84, 96)]
    for width, feet in sizes:
        yield RollStock(
            name=f"{mesh}, {width} in x {feet} ft",
            mesh=mesh,
            width=inches(width),
            length=ticks(feet, "ft"),
            source=MEMORY if feet < 100 else _ROLL_SOURCE,
        )


def _metric_rolls(mesh: str) -> Iterator[RollStock]:
    for width in (1_000, 1_200):
        yield RollStock(
            name=f"{mesh}, {width} mm by the metre", mesh=mesh, width=mm(width), step=mm(1_000), source=MEMORY
        )
    for width in (1_000, 1_200, 1_500, 1_800, 2_400):
        yield RollStock(
            name=f"{mesh}, {width} mm x 30 m", mesh=mesh, width=mm(width), length=mm(30_000), source=_ROLL_SOURCE
        )


def spline_choices(meshes: tuple[Mesh, ...]) -> Iterator[SplineChoice]:
    """Yield one usual spline, and one size less for heavy cloth; each to be confirmed on a trial piece."""
    yield SplineChoice(spline=USUAL_SPLINE, source=MEMORY)
    for mesh in meshes:
        if mesh.heavy:
            yield SplineChoice(spline=HEAVY_CLOTH_SPLINE, mesh=mesh.name, source=MEMORY)


USUAL_SPLINE = "0.160 in"
HEAVY_CLOTH_SPLINE = "0.140 in"
