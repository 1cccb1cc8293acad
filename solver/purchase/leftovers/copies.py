"""How many equal screens leftovers hold: rails from sticks, blanks from pieces of mesh."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from ortools.sat.python import cp_model

MOST_STICKS = 500
"""Distinct stick lengths looked at, longest first; more would not change a word of the plan."""


def copies_from_sticks(rails: Mapping[int, int], sticks: Mapping[int, int], kerf: int) -> int:
    """Return how many screens with these rails can be cut from these sticks.

    Parameters
    ----------
    rails
        Rails of one screen: number by length.
    sticks
        Number by usable length.
    kerf
        What one saw cut takes.

    Examples
    --------
    Two sticks of 100 hold two rails of 40 and one of 15 each:

    >>> copies_from_sticks({40: 2, 15: 1}, {100: 2}, kerf=1)
    2
    """
    lengths = sorted(rails, reverse=True)
    alike: dict[tuple[tuple[int, ...], ...], int] = defaultdict(int)
    for usable in sorted(sticks, reverse=True)[:MOST_STICKS]:
        patterns = tuple(_patterns(lengths, usable + kerf, kerf))
        if any(any(pattern) for pattern in patterns):
            alike[patterns] += sticks[usable]
    model = cp_model.CpModel()
    cut: list[list[Any]] = [[] for _ in lengths]
    for patterns, count in alike.items():
        used = []
        for pattern in patterns:
            times = model.new_int_var(0, count, "")
            used.append(times)
            for row, number in zip(cut, pattern, strict=True):
                row.append(number * times)
        model.add(sum(used) <= count)
    if not alike:
        return 0
    screens = model.new_int_var(0, sum(count * max(map(sum, patterns)) for patterns, count in alike.items()), "")
    for row, length in zip(cut, lengths, strict=True):
        model.add(sum(row) >= rails[length] * screens)
    model.maximize(screens)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 1
    solver.parameters.max_deterministic_time = 0.5
    # Whatever was found can be built, proven best or not.
    found = solver.solve(model) in (cp_model.OPTIMAL, cp_model.FEASIBLE)
    return solver.value(screens) if found else 0


def _patterns(lengths: Sequence[int], room: int, kerf: int) -> Iterator[tuple[int, ...]]:
    """Yield the ways to fill a stick with as many of the last rail as fit after the others."""
    if len(lengths) == 1:
        yield (room // (lengths[0] + kerf),)
        return
    for count in range(room // (lengths[0] + kerf) + 1):
        for tail in _patterns(lengths[1:], room - count * (lengths[0] + kerf), kerf):
            yield (count, *tail)


def copies_from_mesh(width: int, height: int, pieces: Counter[tuple[int, int]], extra: int, *, turns: bool) -> int:
    """Return how many equal blanks can be cut from pieces of mesh, each piece in rows.

    Examples
    --------
    >>> copies_from_mesh(20, 30, Counter({(45, 70): 1}), 0, turns=False)
    4
    """
    ways = [(width, height), (height, width)] if turns else [(width, height)]
    return sum(
        count * max((across // w) * (along // (h + extra)) for w, h in ways)
        for (across, along), count in pieces.items()
    )
