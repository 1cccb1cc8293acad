"""Diving: round the linear programme step by step, pricing what is left anew each time."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterable, Sequence
from fractions import Fraction

from solver.sticks.effort import Effort
from solver.sticks.first_fit import fullest_first_fit
from solver.sticks.grid import Column, Grid, Packing
from solver.sticks.master import Master
from solver.sticks.patterns import Generator

Finish = Callable[[Packing, list[int], list[int | None]], Packing | None]
"""Completes a packing: given what is fixed, the rails left and the sticks left."""


class Diver:
    """Dives through one problem.

    Parameters
    ----------
    grid, generator, effort
        The problem, the pricing and the work counter.
    costs, limits
        Of each size; the dive seeks the least cost within the limits.
    penalty
        What a unit of uncovered weight costs.
    finish
        Packs what is left once few rails are left, or returns None.
    """

    FEW_RAILS = 70

    def __init__(
        self,
        grid: Grid,
        generator: Generator,
        effort: Effort,
        *,
        costs: Sequence[int],
        limits: Sequence[int | None],
        penalty: float,
        finish: Finish | None = None,
    ) -> None:
        self.grid = grid
        self.generator = generator
        self.effort = effort
        self.costs = list(costs)
        self.limits = list(limits)
        self.penalty = penalty
        self.finish = finish

    def dive(
        self,
        demand: Sequence[int],
        pool: Iterable[Column],
        *,
        below: int | None = None,
        chance: random.Random | None = None,
    ) -> tuple[Packing | None, set[Column]]:
        """Return the cheapest complete packing met on the way, if any, and all columns seen.

        Parameters
        ----------
        demand
            Rails to cover.
        pool
            Columns to start from.
        below
            Give up once the exact bound shows that the cost cannot be below this.
        chance
            Varies which column is rounded up; None always takes the largest.
        """
        left = list(demand)
        limits = list(self.limits)
        master = Master(
            weights=self.grid.weights,
            demand=left,
            costs=self.costs,
            limits=limits,
            effort=self.effort,
            penalty=self.penalty,
        )
        for column in pool:
            if _fits(column, left, limits):
                master.add(column)
        seen = set(master.columns)
        fixed: Packing = {}
        spent = 0
        best: tuple[int, Packing] | None = None
        while any(left):
            rails = sum(left)
            root = self.generator.run(
                master,
                costs=self.costs,
                limits=limits,
                demand=left,
                rounds=4 if rails > 4 * self.FEW_RAILS else 40,
                enough=None if below is None else Fraction(below - spent),
            )
            seen |= set(master.columns)
            if root.prices is None or (below is not None and spent + root.bound > below - 1):
                break
            step = self._round(master.amounts(), left, limits, chance)
            if not step:
                break
            for column, copies in step:
                fixed[column] = fixed.get(column, 0) + copies
                spent += self.costs[column[0]] * copies
                for i, times in column[1]:
                    left[i] -= times * copies
                bound = limits[column[0]]
                if bound is not None:
                    limits[column[0]] = bound - copies
            completion, missing = fullest_first_fit(self.grid, left, limits)
            if not any(missing):
                whole = joined(fixed, completion)
                cost = sum(self.costs[s] * copies for (s, _), copies in whole.items())
                if best is None or cost < best[0]:
                    best = cost, whole
            if self.finish is not None and 0 < sum(left) <= self.FEW_RAILS < rails:
                finished = self.finish(fixed, left, limits)
                if finished is not None:
                    best = 0, finished
                    break
            self._shrink(master, left, limits)
            if self.effort.over():
                break
        return (None if best is None else best[1]), seen

    def _shrink(self, master: Master, left: Sequence[int], limits: Sequence[int | None]) -> None:
        master.demand(left)
        for s, bound in enumerate(limits):
            if bound is not None:
                master.limit(s, bound)
        for column in list(master.columns):
            if not _fits(column, left, limits):
                master.drop(column)

    def _round(
        self,
        amounts: list[tuple[Column, float]],
        left: Sequence[int],
        limits: Sequence[int | None],
        chance: random.Random | None,
    ) -> list[tuple[Column, int]]:
        """Return the columns to fix now: whole parts, else the largest fractions."""
        step: list[tuple[Column, int]] = []
        rest, stock = list(left), list(limits)

        def take(column: Column, copies: int) -> bool:
            bound = stock[column[0]]
            copies = min([copies, *(rest[i] // times for i, times in column[1])])
            if bound is not None:
                copies = min(copies, bound)
                stock[column[0]] = bound - max(0, copies)
            if copies <= 0:
                return False
            for i, times in column[1]:
                rest[i] -= times * copies
            step.append((column, copies))
            return True

        for column, amount in amounts:
            if amount >= 1 - 1e-6:
                take(column, int(amount + 1e-6))
        if step:
            return step
        ranked = []
        for column, amount in amounts:
            noise = 1.0 if chance is None else 0.7 + 0.6 * chance.random()
            ranked.append((-amount * noise, column))
        ranked.sort()
        several = max(1, len(ranked) // 12)
        for rank, column in ranked[: several * 3]:
            if step and (len(step) >= several or -rank < 0.6):
                break
            take(column, 1)
        return step


def _fits(column: Column, left: Sequence[int], limits: Sequence[int | None]) -> bool:
    bound = limits[column[0]]
    return bound != 0 and all(times <= left[i] for i, times in column[1])


def joined(one: Packing, other: Packing) -> Packing:
    """Return two packings as one."""
    whole = dict(one)
    for column, copies in other.items():
        whole[column] = whole.get(column, 0) + copies
    return whole
