"""What if: side-by-side plans over a few choices, and what stands in for stock that is not to be had."""

from solver.choices.substitutes import Hit, hit_by, substitutes
from solver.choices.variations import (
    HardwareSpares,
    OtherColour,
    OtherCorner,
    OtherMesh,
    OtherProfile,
    PhaseByPhase,
    StickOnSale,
    Turned,
    Variation,
    Without,
)
from solver.choices.what_if import Outcome, what_if

__all__ = [
    "HardwareSpares",
    "Hit",
    "OtherColour",
    "OtherCorner",
    "OtherMesh",
    "OtherProfile",
    "Outcome",
    "PhaseByPhase",
    "StickOnSale",
    "Turned",
    "Variation",
    "Without",
    "hit_by",
    "substitutes",
    "what_if",
]
