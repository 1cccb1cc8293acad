"""Purchase vectors left without a verdict: what is proven while they, and all smaller ones, are set aside."""

from __future__ import annotations

from dataclasses import dataclass, field

import pytest

from solver.limits import Limits
from solver.sticks.buying import Buying, Proposal, Vector
from solver.sticks.effort import Effort
from solver.sticks.filling import Filler
from solver.sticks.grid import Column, Grid, Packing, exact_grid
from solver.sticks.model import CuttingStock, StockLength
from solver.sticks.packing import Finding, Packer, Verdict
from solver.sticks.patterns import Generator
from solver.sticks.vectors import VectorSearch

TWO_LONG: Vector = (2,)
"""Costs 20; the model that proposes it was cut short and only knows that nothing costs less than 10."""


@dataclass
class Best:
    """The best packing so far, by its cost alone."""

    cost: int = 30
    bound: int = 5
    pool: set[Column] = field(default_factory=set)
    worth: list[int] = field(default_factory=lambda: [1])

    def offer(self, packing: Packing) -> bool:
        self.cost = 20
        return bool(packing)

    def raise_bound(self, bound: int) -> None:
        self.bound = max(self.bound, min(bound, self.cost))


class CutShort(Buying):
    """Proposes two sticks with a bound below their price, and nothing while these are set aside."""

    def cheapest(self, at_least: int, below: int, worth: object) -> Proposal:
        del worth
        if TWO_LONG in self.refused:
            return Proposal(None, below)
        return Proposal(TWO_LONG if below > 20 else None, max(at_least, 10))


class SlowPacker(Packer):
    """Leaves a vector open at first; a packing is found at the second try."""

    tries = 0

    def pack(self, vector: Vector, pool: object, **effort: object) -> Finding:
        del vector, pool, effort
        self.tries += 1
        if self.tries == 1:
            return Finding(Verdict.OPEN)
        return Finding(Verdict.PACKED, packing={(0, ((0, 1),)): 2})


@pytest.fixture
def vectors() -> VectorSearch:
    """Return a search over sticks at 10 each whose parts are cut short."""
    problem = CuttingStock(lengths=(60,), counts=(2,), kerf=0, stock=(StockLength(length=100, cost=10),))
    grid: Grid = exact_grid(problem)
    effort = Effort(Limits())
    filler = Filler(grid, effort)
    generator = Generator(grid, filler, effort)
    search = VectorSearch(grid, effort, filler, generator, 1)
    search.buying = CutShort(grid=grid, effort=effort)
    search.packer = SlowPacker(grid, filler, generator, effort, 1)
    return search


def test_an_open_vector_proves_no_more_than_the_bound_it_was_proposed_with(vectors: VectorSearch) -> None:
    best = Best()
    vectors.run(best, rounds=0)
    assert best.bound == 10


def test_a_packing_of_an_open_vector_does_not_rule_out_smaller_and_cheaper_ones(vectors: VectorSearch) -> None:
    best = Best()
    vectors.run(best, rounds=1)
    assert (best.cost, best.bound) == (20, 10)
    assert not vectors.buying.refused
