"""What a piece is called, the same on every document: opening, copy, and place on the frame."""

from __future__ import annotations

import re

from solver.plan import Place

MESH = "mesh"
"""Stands for the place of a mesh blank."""


def screen_label(opening: str, copy: int, quantity: int) -> str:
    """Return the name of one screen: its opening, and which copy where there are several.

    Examples
    --------
    >>> screen_label("B2-104-LR", 1, 1), screen_label("type C", 3, 12)
    ('B2-104-LR', 'type C (3 of 12)')
    """
    return f"{opening} ({copy} of {quantity})" if quantity > 1 else opening


def piece_label(opening: str, copy: int, quantity: int, place: Place | None) -> str:
    """Return the name of one piece of a screen.

    Parameters
    ----------
    opening
        Label of the opening.
    copy
        Which of the ``quantity`` equal screens, from 1.
    quantity
        How many screens the opening stands for.
    place
        Where the rail sits on the frame, seen from inside; None for the mesh blank.

    Examples
    --------
    >>> piece_label("B2-104-LR", 1, 1, Place.TOP), piece_label("type C", 3, 12, None)
    ('B2-104-LR top', 'type C (3 of 12) mesh')
    """
    return f"{screen_label(opening, copy, quantity)} {MESH if place is None else place.value}"


_PLACE_LETTERS = {Place.TOP: "T", Place.BOTTOM: "B", Place.LEFT: "L", Place.RIGHT: "R", Place.BAR: "C"}
_MESH_LETTER = "M"


def piece_code(number: int, copy: int, place: Place | None) -> str:
    """Return the short code of a piece for scanning: number of the opening in the plan, copy, letter of the place.

    T top, B bottom, L left, R right, C cross bar, M mesh.

    Examples
    --------
    >>> piece_code(12, 3, Place.TOP), piece_code(12, 1, None)
    ('12.3.T', '12.1.M')
    """
    return f"{number}.{copy}.{_MESH_LETTER if place is None else _PLACE_LETTERS[place]}"


def offcut_code(group: int, stick: int) -> str:
    """Return the short code of a stick's kept offcut: number of its stick group in the plan, number of the stick.

    Examples
    --------
    >>> offcut_code(1, 4)
    'K1.4'
    """
    return f"K{group}.{stick}"


def mesh_leftover_code(group: int, roll: int, crosscut: int | None) -> str:
    """Return the short code of a kept piece of mesh: number of its roll group, roll, and crosscut of a side strip.

    Examples
    --------
    >>> mesh_leftover_code(2, 1, None), mesh_leftover_code(2, 1, 7)
    ('M2.1', 'M2.1.7')
    """
    return f"M{group}.{roll}" if crosscut is None else f"M{group}.{roll}.{crosscut}"


_REST = re.compile(r"(?:K\d+\.(\d+)|M\d+\.(\d+)(?:\.(\d+))?)")


def rest_numbers(code: str) -> tuple[int, int]:
    """Return the number of the stick or roll in the code of a leftover, and of the crosscut of a side strip, else 0.

    Examples
    --------
    >>> rest_numbers("K1.4"), rest_numbers("M2.1.7"), rest_numbers("M2.1"), rest_numbers("")
    ((4, 0), (1, 7), (1, 0), (0, 0))
    """
    match = _REST.fullmatch(code)
    if match is None:
        return (0, 0)
    return (int(match[1] or match[2]), int(match[3] or 0))
