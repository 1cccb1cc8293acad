"""Recounts a cutting plan from the problem alone; shares no code with the planner."""

from __future__ import annotations

from solver.sticks.model import CuttingPlan, CuttingStock, StockLength


def broken_rules(problem: CuttingStock, plan: CuttingPlan) -> list[str]:
    """Return every rule the plan breaks, in words."""
    broken = []
    cut = [0] * len(problem.lengths)
    taken = [0] * len(problem.stock)
    for pattern in plan.patterns:
        if pattern.copies < 1 or not pattern.rails:
            broken.append(f"{pattern} cuts nothing")
        needed = sum((problem.lengths[i] + problem.kerf) * times for i, times in pattern.rails) - problem.kerf
        if needed > problem.stock[pattern.stock].length:
            broken.append(f"{pattern} needs {needed}")
        taken[pattern.stock] += pattern.copies
        for i, times in pattern.rails:
            cut[i] += times * pattern.copies
    if tuple(cut) != problem.counts:
        broken.append(f"cut {cut}, wanted {problem.counts}")
    for stock, count in zip(problem.stock, taken, strict=True):
        if stock.limit is not None and count > stock.limit:
            broken.append(f"{count} sticks of {stock}")
    cost = sum(least_price(stock, count) for stock, count in zip(problem.stock, taken, strict=True))
    if cost != plan.cost:
        broken.append(f"the sticks cost {cost}, the plan says {plan.cost}")
    if plan.bound > plan.cost:
        broken.append(f"bound {plan.bound} over cost {plan.cost}")
    return broken


def least_price(stock: StockLength, count: int) -> int:
    """Return the least price of ``count`` sticks, by trying every number of bundles."""
    if stock.bundle is None:
        return stock.cost * count
    size, price = stock.bundle
    prices = []
    for bundles in range(count // size + 2):
        singles = max(0, count - bundles * size)
        if stock.limit is None or bundles * size + singles <= stock.limit:
            prices.append(bundles * price + singles * stock.cost)
    return min(prices)
