"""A rail part: its saw cuts and trims as numbers, its sticks with labels and offcuts."""

from __future__ import annotations

import pytest

from solver.catalogue import Corner
from solver.check import faults
from solver.errors import ProblemError
from solver.lengths import Ticks, inches, mm
from solver.limits import Ending
from solver.money import Cents
from solver.parts.offers import stick_offers
from solver.parts.rails import cutting_stock, joint_kerf, labelled_sticks, stick_group
from solver.plan import Place, Plan
from solver.problem import Problem
from solver.rules import Rules
from solver.solve import solve
from solver.sticks.model import StickPattern, StockLength
from tests.builders import limits, problem, stick
from tests.solver.parts.small_parts import cut_labels, rail_part, rails
from tests.solver.purchase.offers import kit

EXACT = Rules(kerf=Ticks(0), end_trim=Ticks(0), useful_offcut=inches(12))


def test_a_square_cut_takes_the_kerf() -> None:
    assert joint_kerf(inches(0, 1, 8), Corner.SQUARE) == inches(0, 1, 8)


def test_a_mitre_takes_the_kerf_times_the_square_root_of_two_rounded_up() -> None:
    # Derived: 1,016 ticks x 1.41421356 = 1,436.84.
    assert joint_kerf(Ticks(1_016), Corner.MITRED) == 1_437


def test_a_blade_without_thickness_takes_nothing_from_a_mitre() -> None:
    assert joint_kerf(Ticks(0), Corner.MITRED) == 0


def test_equal_rails_of_all_openings_are_one_demand_longest_first() -> None:
    part = rail_part(rails("A", inches(30), 2), rails("B", inches(40)), rails("C", inches(30)))
    problem = cutting_stock(part, [StockLength(length=inches(95), cost=1)])
    assert (problem.lengths, problem.counts) == ((inches(40), inches(30)), (1, 3))


def test_a_bought_stick_is_trimmed_at_both_ends_and_a_leftover_at_one() -> None:
    rack = stick("rest", inches(50), None, on_sale=False, on_hand=1, leftover=True)
    part = rail_part(rails("A", inches(30)), sticks=(rack, stick()), rules=Rules(end_trim=inches(0, 1, 4)))
    assert [offer.usable for offer in stick_offers(part)] == [inches(49, 3, 4), inches(95, 1, 2)]


def test_a_stick_shorter_than_every_rail_is_left_out() -> None:
    part = rail_part(rails("A", inches(80)), sticks=(stick("short", inches(72)), stick()))
    assert [offer.stock for offer in stick_offers(part)] == ["8 ft"]


def test_a_stick_of_which_none_can_be_bought_is_left_out() -> None:
    part = rail_part(rails("A", inches(30)), sticks=(stick(limit=0), stick("10 ft", inches(120))))
    assert [offer.stock for offer in stick_offers(part)] == ["10 ft"]


def test_every_rail_of_every_copy_is_cut_once() -> None:
    part = rail_part(
        rails("A", inches(31), 3, Place.TOP), rails("A", inches(31), 3, Place.BOTTOM), rails("B", inches(31), 1)
    )
    labels = cut_labels(stick_group(part, limits()))
    assert sorted(labels, key=str) == sorted(
        [("A", copy, place) for copy in (1, 2, 3) for place in (Place.TOP, Place.BOTTOM)] + [("B", 1, Place.TOP)],
        key=str,
    )


def test_the_equal_rails_of_one_screen_are_cut_one_after_the_other() -> None:
    part = rail_part(rails("A", inches(45), 2, Place.LEFT), rails("A", inches(45), 2, Place.RIGHT))
    labels = cut_labels(stick_group(part, limits()))
    assert labels == [("A", 1, Place.LEFT), ("A", 1, Place.RIGHT), ("A", 2, Place.LEFT), ("A", 2, Place.RIGHT)]


def test_longest_rails_come_first_within_a_stick_and_among_sticks() -> None:
    part = rail_part(rails("A", inches(20)), rails("B", inches(60)), rails("C", inches(90)), rules=EXACT)
    cuts = stick_group(part, limits()).sticks
    assert [[rail.length for rail in cut.rails] for cut in cuts] == [[inches(90)], [inches(60), inches(20)]]


def test_the_offcut_is_what_is_left_after_trim_rails_and_one_saw_cut_each() -> None:
    # 96 - 1/4 trim - 2 x (40 + 1/8) = 15 1/2, its untrimmed far end included.
    part = rail_part(rails("A", inches(40), 2), rules=Rules(kerf=inches(0, 1, 8), end_trim=inches(0, 1, 4)))
    (cut,) = stick_group(part, limits()).sticks
    assert (cut.offcut, cut.kept) == (inches(15, 1, 2), True)


def test_an_offcut_shorter_than_is_useful_is_not_kept() -> None:
    part = rail_part(rails("A", inches(42), 2), rules=EXACT)
    (cut,) = stick_group(part, limits()).sticks
    assert (cut.offcut, cut.kept) == (inches(12), True)
    part = rail_part(rails("A", inches(42, 1, 16), 2), rules=EXACT)
    (cut,) = stick_group(part, limits()).sticks
    assert (cut.offcut, cut.kept) == (inches(11, 7, 8), False)


def test_a_last_rail_that_ends_within_the_last_kerf_leaves_no_negative_offcut() -> None:
    part = rail_part(rails("A", inches(48), 2), rules=Rules(kerf=Ticks(0), end_trim=Ticks(0)))
    (cut,) = stick_group(part, limits()).sticks
    assert cut.offcut == 0


def test_a_leftover_on_the_rack_is_used_before_a_stick_is_bought() -> None:
    rack = stick("rest", inches(50), None, on_sale=False, on_hand=1, leftover=True)
    group = stick_group(rail_part(rails("A", inches(48)), sticks=(stick(), rack)), limits())
    assert [(cut.stock, cut.bought) for cut in group.sticks] == [("rest", False)]
    assert (group.proof.cost, group.proof.ending) == (0, Ending.PROVEN)


def test_the_offcut_of_a_leftover_starts_at_its_clean_end() -> None:
    # 50 - 30 - 1/8 = 19 7/8: nothing is trimmed off the clean end.
    rack = stick("rest", inches(50), None, on_sale=False, on_hand=1, leftover=True)
    (cut,) = stick_group(rail_part(rails("A", inches(30)), sticks=(rack,)), limits()).sticks
    assert cut.offcut == inches(19, 7, 8)


def test_without_prices_the_least_stick_length_is_taken() -> None:
    offers = (stick("8 ft", inches(96), None), stick("10 ft", inches(120), None))
    group = stick_group(rail_part(rails("A", inches(55), 2), sticks=offers, rules=EXACT), limits())
    assert (group.proof.measure, group.proof.cost) == ("ticks", inches(120))


def test_with_prices_the_least_money_is_paid() -> None:
    offers = (stick("8 ft", inches(96), 300), stick("10 ft", inches(120), 700))
    group = stick_group(rail_part(rails("A", inches(55), 2), sticks=offers, rules=EXACT), limits())
    assert (group.proof.measure, group.proof.cost, group.proof.bound) == ("cents", 600, 600)


def test_a_bundle_is_part_of_the_price() -> None:
    offer = stick(price=800, bundle=10, bundle_price=Cents(6_000))
    group = stick_group(rail_part(rails("A", inches(90), 9), sticks=(offer,)), limits())
    assert group.proof.cost == 6_000


def test_by_hand_is_first_fit_in_the_best_single_length() -> None:
    # Four of 40 in: two to a stick.
    group = stick_group(rail_part(rails("A", inches(40), 4)), limits())
    assert group.by_hand.cost == 1_600


def test_sticks_of_a_kit_on_hand_are_free() -> None:
    group = stick_group(rail_part(rails("A", inches(35), 5), kits=(kit(on_hand=1),)), limits())
    used = [(cut.stock, cut.from_kit, cut.bought) for cut in group.sticks]
    assert used.count(("kit 36", True, False)) == 4
    assert group.proof.cost == 800


def test_a_kit_on_sale_is_no_stock_of_a_part_that_is_bought_alone() -> None:
    part = rail_part(rails("A", inches(35)), kits=(kit(price=1),))
    assert [offer.stock for offer in stick_offers(part)] == ["8 ft"]


def test_too_few_sticks_name_the_part_and_what_there_is() -> None:
    part = rail_part(rails("A", inches(60), 3), sticks=(stick(limit=2, source="sticks!5"),))
    with pytest.raises(ProblemError) as caught:
        stick_group(part, limits())
    assert str(caught.value) == (
        "sticks!5: rails 5/16 white: the sticks that can be had do not hold all 3 rails (there are: 2 of 8 ft; the "
        "longest rail is 60); raise the number that can be bought, or add a stick"
    )


def test_labels_follow_hand_written_patterns() -> None:
    part = rail_part(rails("A", mm(500), 2), rails("B", mm(300)), rules=EXACT)
    offers = stick_offers(part)
    problem = cutting_stock(part, [StockLength(length=offers[0].usable, cost=8)])
    patterns = [StickPattern(stock=0, rails=((1, 1),), copies=1), StickPattern(stock=0, rails=((0, 1),), copies=2)]
    cuts = list(labelled_sticks(part, problem, offers, patterns))
    assert [(cut.number, [(rail.opening, rail.copy) for rail in cut.rails]) for cut in cuts] == [
        (1, [("A", 1)]),
        (2, [("A", 2)]),
        (3, [("B", 1)]),
    ]


def test_a_leftover_worth_more_than_it_saves_stays_on_the_rack() -> None:
    # At 8.00 for 95 1/2 in, a leftover of 143 1/2 in is worth 12.02; with it one new stick does instead of two.
    stock = (stick(), stick("rack 1", inches(144), None, on_sale=False, on_hand=1))
    taken, kept = (
        checked_plan(problem(sticks=stock, rules=Rules(leftover_value=per_mille))).stick_groups[0]
        for per_mille in (0, 1_000)
    )
    assert {(cut.stock, cut.bought) for cut in taken.sticks} == {("rack 1", False), ("8 ft", True)}
    assert [(cut.stock, cut.bought) for cut in kept.sticks] == [("8 ft", True)] * 2
    # What could be paid at least is still said: 8.00 with the leftover.
    assert (kept.proof.cost, kept.proof.bound <= 800, kept.proof.ending) == (1_600, True, Ending.EXHAUSTED)


def checked_plan(job: Problem) -> Plan:
    plan = solve(job, limits())
    assert faults(job, plan) == []
    return plan
