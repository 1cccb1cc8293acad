"""A leftover of a job that its keeper has measured and taken over: the job may not count on it any more."""

from __future__ import annotations

from dataclasses import dataclass

from solver.lengths import Ticks


@dataclass(frozen=True, kw_only=True, slots=True)
class HandedOver:
    """One piece under its code on the rack, by the size under which the job it comes from lists it.

    A stick has a profile; mesh has its mesh and a width, which is 0 for a stick.
    ``number`` is that of the stick or roll that it is the rest of, 0 where the
    piece does not say; ``crosscut`` that of the crosscut beside which it lay, 0 for
    the end of a roll.
    """

    code: str
    length: Ticks
    profile: str = ""
    colour: str = ""
    mesh: str = ""
    width: Ticks = Ticks(0)
    both_ends_clean: bool = False
    number: int = 0
    crosscut: int = 0
