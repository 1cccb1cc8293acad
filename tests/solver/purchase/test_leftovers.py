"""What the leftovers of a plan would still make."""

from __future__ import annotations

from collections import Counter
from functools import cache
from itertools import product
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from solver.catalogue import Hardware
from solver.lengths import Ticks, inches
from solver.plan import StillPossible
from solver.problem import Problem
from solver.purchase.leftovers.copies import copies_from_mesh, copies_from_sticks
from solver.purchase.leftovers.largest import largest_frame
from solver.rules import Rules
from solver.solve import solve
from tests.builders import PROFILE, limits, opening, pack, problem, stick
from tests.solver.purchase.offers import kit

EXACT = Rules(kerf=Ticks(0), end_trim=Ticks(0), bottoms_clearance=Ticks(0), selvage_trim=Ticks(0))


def square(side: int, **other: Any) -> Any:
    return opening("A", inches(side), inches(side), **other)


def still(job: Problem, *, largest: bool) -> list[StillPossible]:
    return [made for made in solve(job, limits()).still_possible if made.largest is largest]


def test_one_more_screen_of_the_same_size_comes_from_a_bundles_rest() -> None:
    # A 36 x 36 window takes two sticks of 96; ten come for the price of two, so 16 rails more are left whole.
    offer = stick(price=800, bundle=10, bundle_price=1_500)
    (made,) = still(problem(square(36), rules=EXACT, sticks=(offer,)), largest=False)
    assert (made.frame_width, made.count) == (inches(36), 4)


def test_the_mesh_limits_what_the_sticks_would_make() -> None:
    # 1,200 in of roll, 38 in used, 31 crosscuts of 38 left; sticks for 49 more.
    offer = stick(price=800, bundle=100, bundle_price=1_500)
    (made,) = still(problem(square(36), rules=EXACT, sticks=(offer,)), largest=False)
    assert made.count == 30


def test_hardware_that_is_not_left_is_named() -> None:
    offer = stick(price=800, bundle=10, bundle_price=1_500)
    corners = (pack(Hardware.CORNER, 10, 400, fits=PROFILE),)
    (made,) = still(problem(square(36), rules=EXACT, sticks=(offer,), packs=corners), largest=False)
    # Sixteen corners for four screens, six are left of the pack.
    assert [(need.hardware, need.amount) for need in made.missing if need.hardware is Hardware.CORNER] == [
        (Hardware.CORNER, 10)
    ]


def test_a_size_that_cannot_be_built_again_is_left_out() -> None:
    assert still(problem(square(36), rules=EXACT), largest=False) == []


def test_the_largest_screen_uses_the_longest_offcuts() -> None:
    # Two sticks of 96 less two rails of 34 1/2 each leave 27 and 27: two rails of 13 1/2 from each.
    (made,) = still(problem(square(36), rules=EXACT), largest=True)
    assert (made.frame_width, made.frame_height, made.count) == (inches(15), inches(15), 1)


def test_sticks_left_in_a_kit_count() -> None:
    # Eight rails of 15 1/2 come from four sticks; the kit costs less than one of 8 ft and one stick more is free.
    many = kit(price=100, sticks=kit().sticks, on_hand=0)
    job = problem(opening("A", inches(18), inches(18)), rules=EXACT, kits=(many,))
    (made,) = still(job, largest=True)
    # Four rails of 16 1/2 are cut from two sticks of 36; two whole sticks and two rests of 3 are left.
    assert made.frame_width == made.frame_height == inches(19, 1, 2)


def test_a_frame_that_needs_a_cross_bar_is_never_the_largest() -> None:
    found = largest_frame(
        Counter({inches(90): 4}),
        Counter({(inches(100), inches(100)): 1}),
        kerf=0,
        corners=0,
        turns=False,
        rules=Rules(bar_above=inches(48)),
    )
    assert found == (inches(48), inches(48))


def test_mesh_too_small_leaves_no_largest_screen() -> None:
    found = largest_frame(
        Counter({inches(90): 4}), Counter({(inches(9), inches(9)): 1}), kerf=0, corners=0, turns=False, rules=Rules()
    )
    assert found is None


def test_turned_mesh_may_hold_a_larger_screen() -> None:
    words: dict[str, Any] = {"kerf": 0, "corners": 0, "rules": Rules()}
    sticks: Counter[int] = Counter({inches(40): 2, inches(20): 2})
    pieces: Counter[tuple[int, int]] = Counter({(inches(22), inches(42)): 1})
    assert largest_frame(sticks, pieces, turns=False, **words) == (inches(20), inches(40))
    turned: Counter[tuple[int, int]] = Counter({(inches(42), inches(22)): 1})
    assert largest_frame(sticks, turned, turns=False, **words) == (inches(40), inches(20))


@cache
def placed(rails: tuple[int, ...], rooms: tuple[int, ...]) -> bool:
    """Whether rails fit into rooms, every way tried."""
    return not rails or any(
        placed(rails[1:], tuple(sorted((*rooms[:n], room - rails[0], *rooms[n + 1 :]))))
        for n, room in enumerate(rooms)
        if room >= rails[0] and room not in rooms[:n]
    )


@settings(max_examples=40, deadline=None)
@given(
    rails=st.dictionaries(st.integers(4, 12), st.integers(1, 2), min_size=1, max_size=2),
    sticks=st.dictionaries(st.integers(4, 20), st.integers(1, 2), min_size=1, max_size=2),
)
def test_no_more_screens_can_be_cut_than_counted(rails: dict[int, int], sticks: dict[int, int]) -> None:
    rooms = tuple(sorted(length for length, count in sticks.items() for _ in range(count)))
    most = 0
    while placed(_pieces(rails, most + 1), rooms):
        most += 1
    assert copies_from_sticks(rails, sticks, kerf=0) == most


def _pieces(rails: dict[int, int], copies: int) -> tuple[int, ...]:
    return tuple(sorted((length for length, count in rails.items() for _ in range(count * copies)), reverse=True))


def test_pieces_of_mesh_are_counted_each_on_its_own() -> None:
    pieces = Counter({(19, 100): 5, (45, 29): 1, (45, 61): 1})
    assert copies_from_mesh(20, 30, pieces, 0, turns=False) == 4


def test_every_way_round_is_tried_where_a_mesh_may_turn() -> None:
    for width, height in product((20, 30), (20, 30)):
        if width != height:
            assert copies_from_mesh(width, height, Counter({(30, 20): 1}), 0, turns=True) == 1
