"""What a person should know about the prices of a plan."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from solver.plan import Kind, Notice, PurchaseLine
from solver.problem import Problem


def purchase_notices(problem: Problem, lines: Iterable[PurchaseLine]) -> Iterator[Notice]:
    """Yield what is bought without a price, and kits that cannot be compared without one."""
    lines = list(lines)
    names = [line.stock or line.what for line in lines if line.price is None and line.buy]
    if names and any(line.price is not None for line in lines):
        yield Notice(
            kind=Kind.NOTICE,
            topic="price",
            message=f"no price is known for {', '.join(names)}; the total leaves it out",
        )
    unpriced = [kit.name for kit in problem.catalogue.kits if kit.on_sale and kit.price is None and not kit.on_hand]
    if unpriced:
        yield Notice(
            kind=Kind.NOTICE,
            topic="price",
            message=f"no price is known for {', '.join(unpriced)}; without one it is not compared with loose stock",
        )
