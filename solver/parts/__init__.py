"""The independent parts of a job: one per profile and colour, one per mesh.

A part holds all that its solution follows from, so parts can be solved side by
side, on other machines, in any order.
"""

from solver.parts.record import BasketGroup, BasketPart, BlankPart, BlankRun, Group, Part, RailPart, RailRun
from solver.parts.split import parts

__all__ = [
    "BasketGroup",
    "BasketPart",
    "BlankPart",
    "BlankRun",
    "Group",
    "Part",
    "RailPart",
    "RailRun",
    "parts",
]
