"""Rows from rounded sums: every whole choice of crosscuts that holds the blanks within the rolls satisfies them."""

from __future__ import annotations

from itertools import product

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from solver.limits import Limits
from solver.rolls.branching import Branching
from solver.rolls.crosscuts import Crosscut
from solver.rolls.decide import Verdict
from solver.rolls.effort import Effort
from solver.rolls.rounding import Known, Sum, rounded_row

MULTIPLIERS = st.floats(-2.0, 2.0, allow_nan=False)


@st.composite
def crosscuts_and_rolls(draw: st.DrawFn) -> tuple[list[tuple[Crosscut, int]], list[int], list[int]]:
    """Draw two to five crosscuts of three kinds of blanks on two widths, a demand, and the length of each width."""
    columns = []
    for _ in range(draw(st.integers(2, 5))):
        held = draw(st.lists(st.integers(0, 3), min_size=3, max_size=3).filter(any))
        counts = tuple((kind, count) for kind, count in enumerate(held) if count)
        columns.append(
            (Crosscut(length=draw(st.integers(2, 6)), width=9, counts=counts, span=0), draw(st.integers(0, 1)))
        )
    demand = draw(st.lists(st.integers(0, 5), min_size=3, max_size=3).filter(any))
    return columns, demand, draw(st.lists(st.integers(0, 20), min_size=2, max_size=2))


def _choices(columns: list[tuple[Crosscut, int]], demand: list[int], room: list[int]) -> list[tuple[int, ...]]:
    """Return every whole choice that holds the demand within the room, no crosscut oftener than of any use."""
    most = [max(-(-demand[kind] // count) for kind, count in crosscut.counts) for crosscut, _ in columns]
    found = []
    for copies in product(*(range(m + 1) for m in most)):
        held, used = [0] * len(demand), [0] * len(room)
        for (crosscut, width), n in zip(columns, copies, strict=True):
            used[width] += n * crosscut.length
            for kind, count in crosscut.counts:
                held[kind] += n * count
        if all(h >= d for h, d in zip(held, demand, strict=True)) and all(
            u <= r for u, r in zip(used, room, strict=True)
        ):
            found.append(copies)
    return found


@settings(max_examples=150, deadline=None)
@given(crosscuts_and_rolls(), st.data())
def test_a_rounded_row_holds_for_every_choice_that_can_be_cut(
    job: tuple[list[tuple[Crosscut, int]], list[int], list[int]], data: st.DataObject
) -> None:
    columns, demand, room = job
    n = len(columns)
    held = np.zeros((n, 3), np.int64)
    for number, (crosscut, _) in enumerate(columns):
        for kind, count in crosscut.counts:
            held[number, kind] = count
    high = np.array([max(-(-demand[kind] // count) for kind, count in crosscut.counts) for crosscut, _ in columns])
    known = Known(
        held=held,
        demand=np.array(demand),
        length=np.array([crosscut.length for crosscut, _ in columns]),
        width=np.array([width for _, width in columns]),
        room=np.array(room),
        group=np.array([width for _, width in columns]),
        low=np.zeros(n, np.int64),
        high=high,
        group_low=np.zeros(2, np.int64),
        group_high=np.array([high.sum(), high.sum()]),
    )
    floats = [np.array(data.draw(st.lists(MULTIPLIERS, min_size=m, max_size=m))) for m in (3, 2, 2)]
    flags = [np.array(data.draw(st.lists(st.booleans(), min_size=m, max_size=m))) for m in (n, 2)]
    row = rounded_row(known, Sum(*floats, *flags))
    if row is not None:
        gives, need = row
        assert all(int(gives @ np.array(copies)) >= need for copies in _choices(columns, demand, room))


@settings(max_examples=120, deadline=None)
@given(crosscuts_and_rolls())
def test_branching_with_rounded_rows_finds_a_choice_exactly_where_there_is_one(
    job: tuple[list[tuple[Crosscut, int]], list[int], list[int]],
) -> None:
    columns, demand, room = job
    verdict, chosen = Branching(columns, np.array(demand), room, Effort(Limits())).decided(400)
    possible = bool(_choices(columns, demand, room))
    assert verdict is not Verdict.OPEN
    assert (verdict is Verdict.FOUND) == possible
    if chosen:
        copies = {column[:2]: column[2] for column in chosen}
        for kind, wanted in enumerate(demand):
            assert sum(n * dict(crosscut.counts).get(kind, 0) for (crosscut, _), n in copies.items()) >= wanted
