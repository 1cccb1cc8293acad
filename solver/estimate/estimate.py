"""A budget with a range from rough sizes, by a stated method.

Three plans are made: one with every side smaller and every count lower by the
stated play, one with the sizes as guessed, one with every side larger, every
count higher and the shop's allowance for recuts on top. The low end is the
least that the smaller job can cost (its proven bound), the high end what the
larger one costs. Different real sizes waste more than equal guessed ones, so
the high end is the one to budget for.

References
----------
Waste a careful shop plans on, rails 2 to 5 %, mesh 3 to 8 %: common practice,
no source.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from solver.lengths import Ticks, inches
from solver.limits import Limits
from solver.money import Cents
from solver.openings import Opening
from solver.plan import Plan
from solver.pooling import largest_remainder
from solver.problem import Problem
from solver.solve import solve

PLAY = inches(1)


@dataclass(frozen=True, kw_only=True, slots=True)
class Roughness:
    """How rough the numbers are: play of a side, of a count (per mille), and the allowance for recuts (per mille)."""

    side: Ticks = PLAY
    count: int = 50
    recuts: int = 50


@dataclass(frozen=True, kw_only=True, slots=True)
class Estimate:
    """The budget: ``low`` and ``high`` hold it, ``likely`` is what the guessed sizes cost; None without prices.

    ``plan`` is that of the guessed sizes. ``method`` says in words how the
    range came about.
    """

    low: Cents | None
    likely: Cents | None
    high: Cents | None
    screens: tuple[int, int, int]
    plan: Plan
    method: str


def estimate(problem: Problem, roughness: Roughness, limits: Limits) -> Estimate:
    """Return a budget for openings whose sizes and counts are rough.

    Parameters
    ----------
    problem
        Types of openings with guessed sizes and counts.
    roughness
        How far off they may be.
    limits
        For each part of each of the three plans.

    Raises
    ------
    ProblemError
        If one of the three jobs cannot be planned, such as when the largest
        sizes fit no roll.
    """
    small = replace(problem, openings=_rough(problem.openings, roughness, -1))
    large = replace(problem, openings=_rough(problem.openings, roughness, 1))
    plan, low, high = solve(problem, limits), solve(small, limits), solve(large, limits)
    ends = [each for each in (low.bound, plan.total, high.total) if each is not None]
    priced = len(ends) == 3
    return Estimate(
        low=min(ends) if priced else None,
        likely=plan.total,
        high=max(ends) if priced else None,
        screens=(_screens(small), _screens(problem), _screens(large)),
        plan=plan,
        method=(
            "low: the proven least for every side and count at its lower end; likely: the guessed sizes as they are; "
            f"high: every side and count at its upper end and {roughness.recuts / 10:g} % more screens for recuts"
        ),
    )


def _rough(openings: Sequence[Opening], roughness: Roughness, sign: int) -> tuple[Opening, ...]:
    """Return the openings at one end of their range; no side under half of what was guessed, one opening at least."""
    counts = [opening.quantity for opening in openings]
    play = roughness.count + (roughness.recuts if sign > 0 else 0)
    change = -(-sum(counts) * play // 1_000) if sign > 0 else min(sum(counts) - 1, sum(counts) * play // 1_000)
    changes = largest_remainder(change, counts)

    def sides(readings: tuple[Ticks, ...]) -> tuple[Ticks, ...]:
        return tuple(Ticks(max(reading // 2, reading + sign * roughness.side)) for reading in readings)

    return tuple(
        replace(
            opening,
            quantity=opening.quantity + sign * more,
            widths=sides(opening.widths),
            heights=sides(opening.heights),
            diagonals=None,
        )
        for opening, more in zip(openings, changes, strict=True)
        if opening.quantity + sign * more > 0
    )


def _screens(problem: Problem) -> int:
    return sum(opening.quantity for opening in problem.openings)
