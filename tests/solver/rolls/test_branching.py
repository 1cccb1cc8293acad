"""Branching over listed crosscuts agrees with trying everything."""

from __future__ import annotations

from itertools import product

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from solver.limits import Limits
from solver.rolls.branching import Branching
from solver.rolls.crosscuts import Crosscut
from solver.rolls.decide import Verdict
from solver.rolls.effort import Effort

COLUMNS = st.lists(
    st.tuples(
        st.integers(3, 9), st.dictionaries(st.integers(0, 2), st.integers(1, 2), min_size=1), st.integers(0, 1)
    ).map(
        lambda drawn: (
            Crosscut(length=drawn[0], width=9, counts=tuple(sorted(drawn[1].items())), span=0),
            drawn[2],
        )
    ),
    min_size=1,
    max_size=4,
)


def _suffice(columns: list[tuple[Crosscut, int]], demand: list[int], room: list[int], copies: tuple[int, ...]) -> bool:
    held, used = [0, 0, 0], [0, 0]
    for (crosscut, width), count in zip(columns, copies, strict=True):
        used[width] += crosscut.length * count
        for kind, each in crosscut.counts:
            held[kind] += each * count
    return all(h >= d for h, d in zip(held, demand, strict=True)) and all(
        u <= r for u, r in zip(used, room, strict=True)
    )


@given(
    columns=COLUMNS,
    demand=st.lists(st.integers(0, 3), min_size=3, max_size=3).filter(any),
    room=st.lists(st.integers(0, 25), min_size=2, max_size=2),
)
def test_given_rolls_suffice_where_some_choice_of_crosscuts_does(
    columns: list[tuple[Crosscut, int]], demand: list[int], room: list[int]
) -> None:
    verdict, chosen = Branching(columns, np.array(demand), room, Effort(Limits())).decided(500)
    possible = any(_suffice(columns, demand, room, copies) for copies in product(range(4), repeat=len(columns)))
    assert verdict is not Verdict.FOUND or _suffice(
        [(crosscut, width) for crosscut, width, _ in chosen], demand, room, tuple(copies for *_, copies in chosen)
    )
    assert verdict is (Verdict.FOUND if possible else Verdict.REFUTED)
