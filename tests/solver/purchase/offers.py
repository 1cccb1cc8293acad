"""Kits for tests: one builder that shows only what matters."""

from __future__ import annotations

from typing import Any

from solver.catalogue import Hardware, Kit, KitHardware, KitSticks
from solver.lengths import Ticks, inches
from solver.money import Cents
from tests.builders import COLOUR, PROFILE


def sticks(count: int, length: Ticks) -> KitSticks:
    """Some sticks of one length."""
    return KitSticks(length=length, count=count)


def hardware(kind: Hardware, amount: int, fits: str = "") -> KitHardware:
    """Some hardware of one kind."""
    return KitHardware(hardware=kind, amount=amount, fits=fits)


def kit(name: str = "kit 36", price: int | None = 1_500, **other: Any) -> Kit:
    """A kit at 15.00: four sticks of 36 in and four corners."""
    words: dict[str, Any] = {
        "name": name,
        "profile": PROFILE,
        "colour": COLOUR,
        "sticks": (sticks(4, inches(36)),),
        "hardware": (hardware(Hardware.CORNER, 4, PROFILE),),
        "price": None if price is None else Cents(price),
    }
    return Kit(**(words | other))
