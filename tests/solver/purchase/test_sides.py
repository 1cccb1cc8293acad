"""What a group answers a joint purchase: cuts rule out only what cannot hold all pieces, floors never lie."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from solver.lengths import Ticks, inches
from solver.limits import Limits
from solver.parts.offers import RollOffer, StickOffer
from solver.purchase.basket.blank_side import BlankSide
from solver.purchase.basket.model import Cut
from solver.purchase.basket.rail_side import RailSide
from solver.purchase.basket.side import Least, Side, Slot, Solved, Terms, best_case, within_or_beyond
from solver.rules import Rules
from solver.sticks.effort import Effort
from tests.solver.parts.small_parts import blank_part, blanks, rail_part, rails

LIMITS = Limits(work=3_000)
EXACT = Rules(kerf=Ticks(0), end_trim=Ticks(0), selvage_trim=Ticks(0))
MISSING = 1_000_000


def stick_slot(resource: int, length: int, price: int | None, least: Least | None = None) -> Slot[StickOffer]:
    offer = StickOffer(
        stock=f"stick {resource}",
        length=inches(length),
        usable=inches(length),
        head_trim=Ticks(0),
        bought=price is not None,
        price=price,  # type: ignore[arg-type]
        limit=None if price is not None else 9,
    )
    return Slot(offer=offer, resource=resource, least=least)


def roll_slot(resource: int, width: int, length: int | None, price: int, least: Least | None = None) -> Slot[RollOffer]:
    offer = RollOffer(
        stock=f"roll {resource}",
        width=inches(width),
        usable=inches(width),
        length=None if length is None else inches(length),
        step=inches(12) if length is None else None,
        bought=True,
        price=price,  # type: ignore[arg-type]
    )
    return Slot(offer=offer, resource=resource, least=least)


def rail_side(lengths: list[int], *slots: Slot[StickOffer]) -> RailSide:
    runs = [rails(f"W{n}", inches(length)) for n, length in enumerate(lengths)]
    return RailSide(rail_part(*runs, rules=EXACT), slots, Effort(LIMITS))


def blank_side(sizes: list[tuple[int, int]], *slots: Slot[RollOffer]) -> BlankSide:
    runs = [blanks(f"W{n}", inches(width), inches(height)) for n, (width, height) in enumerate(sizes)]
    return BlankSide(blank_part(*runs, rules=EXACT), slots, Effort(LIMITS))


def everything_sold(side: RailSide | BlankSide) -> Solved:
    terms = Terms(free=(0,) * len(side.slots), sold=(True,) * len(side.slots))
    return side.solved(terms, MISSING, LIMITS)


def assert_sound(side: RailSide | BlankSide, amounts: tuple[int, ...]) -> None:
    """What a cut rules out are the amounts asked for, and never those of a plan that exists."""
    known = side.shortfall(amounts)
    if not isinstance(known, Cut):
        return
    by_resource = dict(known.room)
    held = [by_resource.get(resource, 0) for resource in side.resources]
    assert sum(room * amount for room, amount in zip(held, amounts, strict=True)) < known.need
    used = everything_sold(side).used
    assert sum(room * amount for room, amount in zip(held, used, strict=True)) >= known.need


def test_nothing_bought_is_always_too_little() -> None:
    assert isinstance(rail_side([40, 50], stick_slot(0, 96, 8)).shortfall((0,)), Cut)
    assert isinstance(blank_side([(20, 30)], roll_slot(0, 36, 100, 8)).shortfall((0,)), Cut)


def test_enough_is_never_ruled_out() -> None:
    assert rail_side([40, 50], stick_slot(0, 96, 8)).shortfall((1,)) is None
    assert blank_side([(20, 30)], roll_slot(0, 36, 100, 8)).shortfall((1,)) is None


def test_far_more_than_enough_is_never_ruled_out() -> None:
    assert rail_side([40, 50], stick_slot(0, 96, 8)).shortfall((9,)) is None
    assert blank_side([(20, 30)], roll_slot(0, 36, 100, 8)).shortfall((9,)) is None


@settings(max_examples=30, deadline=None)
@given(
    lengths=st.lists(st.integers(10, 90), min_size=1, max_size=6),
    amounts=st.tuples(st.integers(0, 3), st.integers(0, 3)),
)
def test_a_cut_of_rails_is_sound(lengths: list[int], amounts: tuple[int, int]) -> None:
    assert_sound(rail_side(lengths, stick_slot(0, 96, 8), stick_slot(1, 48, 5)), amounts)


@settings(max_examples=30, deadline=None)
@given(
    sizes=st.lists(st.tuples(st.integers(10, 36), st.integers(10, 60)), min_size=1, max_size=4),
    amounts=st.tuples(st.integers(0, 2), st.integers(0, 6)),
)
def test_a_cut_of_blanks_is_sound(sizes: list[tuple[int, int]], amounts: tuple[int, int]) -> None:
    assert_sound(blank_side(sizes, roll_slot(0, 48, 100, 8), roll_slot(1, 36, None, 1)), amounts)


def test_free_sticks_cost_nothing_and_the_rest_is_bought() -> None:
    side = rail_side([40, 40, 40], stick_slot(0, 48, None), stick_slot(1, 96, 8))
    solved = side.solved(Terms(free=(1, 0), sold=(False, True)), MISSING, LIMITS)
    assert (solved.cost, solved.bound, solved.used) == (8, 8, (1, 1))


def test_what_cannot_be_had_is_told_by_its_cost() -> None:
    side = rail_side([40, 40], stick_slot(0, 48, 8))
    solved = side.solved(Terms(free=(1,), sold=(False,)), MISSING, LIMITS)
    assert (solved.complete, solved.bound >= MISSING) == (False, True)


def test_sticks_of_a_least_number_are_paid_and_further_ones_have_their_price() -> None:
    least = Least(count=2, price=16, apart=False)
    side = rail_side([40] * 5, stick_slot(0, 48, 8, least))
    solved = side.solved(Terms(free=(0,), sold=(True,)), MISSING, LIMITS)
    assert (solved.cost, solved.bound, solved.used) == (24, 24, (5,))


@pytest.mark.parametrize(("height", "cost"), [(24, 0), (60, 0), (72, 1)])
def test_running_length_within_its_least_number_costs_nothing_more(height: int, cost: int) -> None:
    # Five steps of 12 in are paid.
    least = Least(count=5, price=5, apart=True)
    side = blank_side([(30, height)], roll_slot(0, 36, None, 1, least))
    solved = side.solved(Terms(free=(0,), sold=(True,)), MISSING, LIMITS)
    assert (solved.cost, solved.used) == (cost, (height // 12,))
    assert solved.bound <= cost


def test_every_case_of_a_least_number_that_stands_apart_is_looked_at() -> None:
    apart = Least(count=5, price=5, apart=True)
    cases = list(within_or_beyond([apart, None, apart, apart], [True, True, True, False]))
    assert cases == [{0: a, 2: b} for a in (False, True) for b in (False, True)]


def test_the_bound_of_several_cases_is_the_lowest() -> None:
    side: Side = rail_side([40], stick_slot(0, 48, 8))
    one = side.solved(Terms(free=(0,), sold=(True,)), MISSING, LIMITS)
    other = side.solved(Terms(free=(1,), sold=(True,)), MISSING, LIMITS)
    best = best_case([one, other])
    assert (best.cost, best.bound, best.work) == (0, 0, one.work + other.work)
