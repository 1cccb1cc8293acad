"""The whole default catalogue."""

from __future__ import annotations

from collections.abc import Iterable

from solver.catalogue import Catalogue
from solver.defaults.meshes import DEFAULT_MESH, default_mesh, rolls, spline_choices
from solver.defaults.packs import packs
from solver.defaults.profiles import profiles, sticks
from solver.lengths import Unit

DEFAULT_COLOUR = "white"


def default_catalogue(colours: Iterable[str], meshes: Iterable[str], unit: Unit = Unit.INCH) -> Catalogue:
    """Return stock lists without prices for the colours and meshes a job names.

    Parameters
    ----------
    colours
        As the openings name them; white if they name none.
    meshes
        As the openings name them; plain glass cloth, 18 x 16, if they name none.
    unit
        Inch profiles, sticks and rolls, or metric ones.

    References
    ----------
    Each record carries its source: common practice, from memory, or a published source.

    Examples
    --------
    >>> stock = default_catalogue(["bronze"], [])
    >>> [profile.name for profile in stock.profiles], stock.meshes[0].name, stock.sticks[0].price
    (['1/4', '5/16', '3/8', '7/16'], 'glass 18x16', None)
    """
    named_colours = _distinct(colours) or (DEFAULT_COLOUR,)
    named_meshes = _distinct(meshes) or (DEFAULT_MESH,)
    cloths = tuple(default_mesh(name) for name in named_meshes)
    splines = tuple(spline_choices(cloths))
    frames = profiles(unit)
    return Catalogue(
        profiles=frames,
        meshes=cloths,
        sticks=tuple(sticks(unit, named_colours)),
        rolls=tuple(rolls(unit, named_meshes)),
        packs=tuple(
            packs(
                unit,
                tuple(profile.name for profile in frames),
                tuple(dict.fromkeys(choice.spline for choice in splines)),
            )
        ),
        splines=splines,
    )


def _distinct(names: Iterable[str]) -> tuple[str, ...]:
    """Return names once each, in their order, upper and lower case alike, without blanks."""
    kept: dict[str, str] = {}
    for name in names:
        if name.strip():
            kept.setdefault(name.strip().casefold(), name.strip())
    return tuple(kept.values())
