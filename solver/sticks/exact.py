"""Cutting exactly what is wanted: no rail more."""

from __future__ import annotations

from solver.sticks.grid import Column, Grid, Packing


def trimmed(grid: Grid, packing: Packing) -> Packing:
    """Return the packing without the rails it cuts beyond the demand; sticks left empty are dropped."""
    over = [-count for count in grid.demand]
    for (_, pattern), copies in packing.items():
        for i, times in pattern:
            over[i] += times * copies
    if not any(over):
        return packing
    exact: Packing = {}
    work: list[tuple[Column, int]] = sorted(packing.items(), key=lambda entry: entry[0])
    while work:
        (s, pattern), copies = work.pop()
        surplus = [(i, times) for i, times in pattern if over[i] > 0]
        if not surplus:
            if pattern:
                exact[s, pattern] = exact.get((s, pattern), 0) + copies
            continue
        i, times = surplus[0]
        less = min(times, over[i])
        alike = min(copies, over[i] // less)
        over[i] -= less * alike
        rest = tuple((j, n - less if j == i else n) for j, n in pattern if j != i or n > less)
        work.append(((s, rest), alike))
        if copies > alike:
            work.append(((s, pattern), copies - alike))
    return exact
