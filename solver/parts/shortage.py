"""What to say when the stock that can be had does not hold all pieces."""

from __future__ import annotations

from collections.abc import Sequence

from solver.errors import ProblemFault
from solver.lengths import Ticks, length_text
from solver.parts.offers import RollOffer, StickOffer
from solver.parts.record import BlankPart, RailPart


def stick_shortage(part: RailPart, offers: Sequence[StickOffer]) -> ProblemFault:
    """Return what rails are wanted and what sticks there are."""
    rails = sum(run.quantity for run in part.runs)
    longest = max(run.length for run in part.runs)
    there = ", ".join(f"{_number(o.limit)} of {o.stock}" for o in offers) or "none"
    return ProblemFault(
        source=next((stick.source for stick in part.sticks if stick.source), ""),
        message=f"{part.name}: the sticks that can be had do not hold all {rails} rails (there are: {there}; the "
        f"longest rail is {length_text(longest, part.unit)}); raise the number that can be bought, or add a stick",
    )


def roll_shortage(part: BlankPart, offers: Sequence[RollOffer]) -> ProblemFault:
    """Return what blanks are wanted and what rolls there are."""
    blanks = sum(run.quantity for run in part.runs)
    widest = Ticks(max(min(run.width, run.height) if part.either_way else run.width for run in part.runs))
    there = ", ".join(f"{_number(o.limit)} of {o.stock}" for o in offers) or "none"
    return ProblemFault(
        source=next((roll.source for roll in part.rolls if roll.source), ""),
        message=f"{part.name}: the rolls that can be had do not hold all {blanks} blanks (there are: {there}; the "
        f"widest blank is {length_text(widest, part.unit)}); raise the number that can be bought, or add a roll",
    )


def _number(limit: int | None) -> str:
    return "any number" if limit is None else str(limit)
