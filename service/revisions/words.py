"""Choices in words, ``stick=5/16,white,16 ft,12.60; turned; spares=5``, and what they come to as plain JSON."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

from solver.catalogue import Corner
from solver.choices import (
    HardwareSpares,
    OtherColour,
    OtherCorner,
    OtherMesh,
    OtherProfile,
    Outcome,
    PhaseByPhase,
    StickOnSale,
    Turned,
    Variation,
    Without,
)
from solver.errors import RecordError
from solver.lengths import Ticks, Unit
from solver.money import cents
from solver.notation import Understood, read_length
from solver.rules import Turning


def variations(text: str, unit: Unit) -> list[Variation]:
    """Return the changes that a text names.

    Raises
    ------
    RecordError
        If a change is none; the message says what to write.

    Examples
    --------
    >>> variations("turned; spares=5", Unit.INCH)[1]
    HardwareSpares(per_mille=50)
    """
    changes = []
    for part in text.split(";"):
        word, _, value = (piece.strip() for piece in part.partition("="))
        if word not in _MAKERS:
            raise RecordError(f"{part.strip() or 'nothing'}: write one of {', '.join(_MAKERS)}")
        changes.append(_MAKERS[word](value, unit))
    return changes


def outcome_json(outcome: Outcome) -> dict[str, object]:
    """Return what a choice comes to as plain JSON; money in minor units."""
    return {
        "name": outcome.name,
        "total_cents": outcome.total,
        "bound_cents": outcome.bound,
        "more_than_first_cents": outcome.more_than_first,
        "sticks": outcome.sticks,
        "rail_waste": float(outcome.rail_waste),
        "mesh_waste": float(outcome.mesh_waste),
        "trouble": outcome.trouble,
    }


def length_of(text: str, unit: Unit) -> Ticks:
    """Return a length as people write it.

    Raises
    ------
    RecordError
        If it is none, or doubtful.
    """
    result = read_length(text.strip(), unit=unit.value, alone=True)
    if not isinstance(result, Understood):
        raise RecordError(f"{text}: {getattr(result, 'message', 'this is no length')}")
    return result.length


def _stick(value: str, unit: Unit) -> Variation:
    words = [word.strip() for word in value.split(",")]
    if len(words) not in (3, 4):
        raise RecordError(f"stick={value}: write PROFILE,COLOUR,LENGTH,PRICE")
    price = cents(words[3]) if len(words) == 4 else None
    return StickOnSale(profile=words[0], colour=words[1], length=length_of(words[2], unit), price=price)


def _corner(value: str, unit: Unit) -> Variation:
    kind, _, leg = (word.strip() for word in value.partition(","))
    if kind not in ("mitred", "square") or (kind == "square") != bool(leg):
        raise RecordError(f"corner={value}: write mitred, or square and the leg, such as square,3/4")
    if kind == "mitred":
        return OtherCorner(corner=Corner.MITRED)
    return OtherCorner(corner=Corner.SQUARE, leg=length_of(leg, unit))


def _spares(value: str, unit: Unit) -> Variation:
    del unit
    try:
        per_mille = Fraction(value) * 10
    except ValueError as error:
        raise RecordError(f"spares={value}: write per cent, such as 5") from error
    if per_mille < 0 or per_mille.denominator != 1:
        raise RecordError(f"spares={value}: write per cent with one decimal at most")
    return HardwareSpares(per_mille=int(per_mille))


_MAKERS: dict[str, Callable[[str, Unit], Variation]] = {
    "stick": _stick,
    "without": lambda value, unit: Without(stock=tuple(name.strip() for name in value.split(","))),
    "profile": lambda value, unit: OtherProfile(profile=value),
    "colour": lambda value, unit: OtherColour(colour=value),
    "mesh": lambda value, unit: OtherMesh(mesh=value),
    "turned": lambda value, unit: Turned(turning=Turning.FREE),
    "corner": _corner,
    "spares": _spares,
    "phases": lambda value, unit: PhaseByPhase(),
}
