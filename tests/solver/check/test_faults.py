"""The checker finds every broken rule and names it with its amount; a sound plan has none.

Every test breaks one thing in a plan that was worked out by hand.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from solver.catalogue import Catalogue, Corner
from solver.check import faults
from solver.lengths import Ticks, inches
from solver.limits import Ending
from solver.money import Cents
from solver.openings import Datum, Mounting
from solver.plan import CutRoll, CutStick, Place, Plan, RollGroup, Screen, StickGroup
from solver.problem import Problem
from solver.rules import Rules
from tests.builders import profile, roll, stick
from tests.solver.check.good_plan import good_plan, good_problem

Changes = dict[str, Any]


def rules_broken(plan: Plan, problem: Problem | None = None) -> dict[str, int]:
    """Return the broken rules with their amounts."""
    return {fault.rule: fault.amount for fault in faults(problem or good_problem(), plan)}


def with_screen(change: Callable[[Screen], Changes]) -> Plan:
    plan = good_plan()
    return replace(plan, screens=(replace(plan.screens[0], **change(plan.screens[0])),))


def with_group(change: Callable[[StickGroup], Changes]) -> Plan:
    plan = good_plan()
    return replace(plan, stick_groups=(replace(plan.stick_groups[0], **change(plan.stick_groups[0])),))


def with_stick(change: Callable[[CutStick], Changes]) -> Plan:
    def first(group: StickGroup) -> Changes:
        return {"sticks": (replace(group.sticks[0], **change(group.sticks[0])), *group.sticks[1:])}

    return with_group(first)


def with_mesh(change: Callable[[RollGroup], Changes]) -> Plan:
    plan = good_plan()
    return replace(plan, roll_groups=(replace(plan.roll_groups[0], **change(plan.roll_groups[0])),))


def with_roll(change: Callable[[CutRoll], Changes]) -> Plan:
    return with_mesh(lambda group: {"rolls": (replace(group.rolls[0], **change(group.rolls[0])),)})


def with_line(number: int, **change: Any) -> Plan:
    plan = good_plan()
    lines = list(plan.purchases)
    lines[number] = replace(lines[number], **change)
    return replace(plan, purchases=tuple(lines))


def with_stock(**change: Any) -> Problem:
    problem = good_problem()
    stock: Catalogue = replace(problem.catalogue, **change)
    return replace(problem, catalogue=stock)


def test_the_plan_worked_out_by_hand_has_no_fault() -> None:
    assert faults(good_problem(), good_plan()) == []


# Sizes


def test_an_opening_that_is_not_planned_is_named() -> None:
    problem = good_problem()
    more = (*problem.openings, replace(problem.openings[0], label="A-102", quantity=3))
    assert rules_broken(good_plan(), replace(problem, openings=more)) == {"every opening is planned": 3}


def test_a_deduction_made_twice_is_found() -> None:
    plan = with_screen(lambda screen: {"frame_width": Ticks(screen.frame_width - inches(0, 1, 8))})
    assert rules_broken(plan)["frame width follows from the readings"] == -inches(0, 1, 8)


@pytest.mark.parametrize(
    ("datum", "frame_width"),
    [
        (Datum.CHANNEL_BOTTOMS, inches(33, 1, 8)),
        (Datum.CHANNEL_LIPS, inches(33, 1, 2)),
        (Datum.DEEP_CHANNEL, inches(33, 1, 8)),
        (Datum.STOPS, inches(33, 1, 8)),
        (Datum.FACE, inches(34)),
        (Datum.OLD_SCREEN, inches(33, 1, 4)),
        (Datum.FINISHED, inches(33, 1, 4)),
    ],
)
def test_every_datum_has_its_own_frame_for_a_reading_of_33_1_4(datum: Datum, frame_width: Ticks) -> None:
    problem = good_problem()
    asked = replace(problem, openings=(replace(problem.openings[0], width_datum=datum),))
    plan = with_screen(lambda _: {"frame_width": frame_width})
    assert "frame width follows from the readings" not in rules_broken(plan, asked)
    longer = with_screen(lambda _: {"frame_width": Ticks(frame_width + 1)})
    assert rules_broken(longer, asked)["frame width follows from the readings"] == 1


def test_in_a_channel_the_smallest_reading_counts_and_the_frame_is_rounded_down() -> None:
    problem = good_problem()
    readings = (inches(33, 3, 8), inches(33, 17, 64))
    asked = replace(problem, openings=(replace(problem.openings[0], widths=readings),))
    assert "frame width follows from the readings" not in rules_broken(good_plan(), asked)


def test_on_a_face_the_largest_reading_counts_and_the_frame_is_rounded_up() -> None:
    problem = good_problem()
    readings = (inches(33), inches(33, 15, 64))
    asked = replace(problem, openings=(replace(problem.openings[0], widths=readings, width_datum=Datum.FACE),))
    plan = with_screen(lambda _: {"frame_width": inches(34)})
    assert "frame width follows from the readings" not in rules_broken(plan, asked)


def test_a_rail_too_many_and_a_rail_too_few_are_both_found() -> None:
    plan = with_screen(lambda screen: {"rails": (*screen.rails[:3], screen.rails[0])})
    broken = rules_broken(plan)
    assert (broken["one top rail"], broken["one right rail"]) == (1, -1)


def test_a_tall_frame_without_its_cross_bar_is_found() -> None:
    rules = Rules(bar_above=inches(40))
    assert rules_broken(good_plan(), replace(good_problem(), rules=rules))["one cross bar for this size"] == -1


def test_a_frame_over_twice_the_free_span_wants_two_cross_bars() -> None:
    # 47 1/4 in three stretches of at most 20 in.
    rules = Rules(bar_above=inches(40), bar_span=inches(20))
    assert rules_broken(good_plan(), replace(good_problem(), rules=rules))["2 cross bars for this size"] == -2


@pytest.mark.parametrize(
    ("mounting", "missing"),
    [
        (Mounting.LEAVES, "leaf spring"),
        (Mounting.PINS, "plunger pin"),
        (Mounting.SLIDING, "roller"),
        (Mounting.MAGNETS, "magnetic strip"),
    ],
)
def test_a_screen_held_another_way_wants_other_hardware(mounting: Mounting, missing: str) -> None:
    problem = good_problem()
    asked = replace(problem, openings=(replace(problem.openings[0], mounting=mounting),))
    broken = rules_broken(good_plan(), asked)
    assert broken[f"{missing} enough and not more"] < 0
    assert broken["tension spring enough and not more"] == 2


def test_face_clips_may_not_be_too_far_apart() -> None:
    # Sides 33 1/8 and 47 1/4 at 20 in: 2 and 3 clips a side, 10 in all.
    problem = good_problem()
    asked = replace(problem, openings=(replace(problem.openings[0], mounting=Mounting.CLIPS),))
    assert rules_broken(good_plan(), asked)["face clips no farther apart than the rule says"] == -10


def test_three_corners_are_one_too_few() -> None:
    def three(screen: Screen) -> Changes:
        return {"needs": (replace(screen.needs[0], amount=3), *screen.needs[1:])}

    assert rules_broken(with_screen(three))["corner enough and not more"] == -1


def test_a_profile_the_row_did_not_ask_for_is_found() -> None:
    plan = with_screen(lambda _: {"profile": "3/8"})
    assert "profile 3/8 is the one asked for" in rules_broken(plan)


# Pieces


def test_a_rail_cut_twice_leaves_another_uncut() -> None:
    def twice(stick: CutStick) -> Changes:
        return {"rails": (stick.rails[0], replace(stick.rails[1], place=Place.BOTTOM))}

    broken = rules_broken(with_stick(twice))
    assert broken == {"every rail is cut once": 1, "no rail is cut that nobody wants": 1}


def test_a_rail_of_another_length_is_not_the_rail_wanted() -> None:
    def longer(stick: CutStick) -> Changes:
        return {"rails": (stick.rails[0], replace(stick.rails[1], length=inches(31, 3, 4)))}

    assert "every rail is cut once" in rules_broken(with_stick(longer))


def test_a_second_copy_of_a_screen_needs_its_own_rails_and_blank() -> None:
    problem = good_problem()
    asked = replace(problem, openings=(replace(problem.openings[0], quantity=2),))
    plan = with_screen(lambda _: {"quantity": 2})
    missing = [
        fault for fault in faults(asked, plan) if fault.rule in {"every rail is cut once", "every blank is cut once"}
    ]
    assert len(missing) == 5


def test_a_turned_blank_of_a_mesh_that_never_turns_is_found() -> None:
    def turn(roll: CutRoll) -> Changes:
        crosscut = roll.crosscuts[0]
        blank = crosscut.strips[0].blanks[0]
        turned = replace(blank, across=blank.along, along=blank.across, turned=True)
        strip = replace(crosscut.strips[0], width=turned.across, blanks=(turned,))
        return {"crosscuts": (replace(crosscut, strips=(strip,)),)}

    broken = rules_broken(with_roll(turn))
    assert broken["this mesh is never turned"] == 1
    assert broken["strips and selvages fit the width"] == inches(49, 1, 4) + inches(0, 1, 2) - inches(48)


# Sticks


def test_kerf_is_lost_between_rails_not_after_the_last() -> None:
    # trim 1/4 + 45 3/4 + 1/8 + 31 5/8 + trim 1/4 = 78 in exactly.
    def of_78(stick_: CutStick) -> Changes:
        return {"length": inches(78), "offcut": Ticks(inches(0, 1, 8)), "kept": False}

    tight = with_stock(sticks=(stick(), stick("78 in", inches(78), 700)))
    plan = with_stick(lambda s: of_78(s) | {"stock": "78 in"})
    assert "rails, saw cuts and trims fit the stick" not in rules_broken(plan, tight)
    shorter = with_stock(sticks=(stick(), stick("78 in", Ticks(inches(78) - 1), 700)))
    assert rules_broken(plan, shorter)["rails, saw cuts and trims fit the stick"] == 1


def test_a_leftover_is_trimmed_at_one_end_only() -> None:
    rack = stick("rest", inches(77, 3, 4), None, on_sale=False, on_hand=1, leftover=True)
    plan = with_stick(
        lambda _: {
            "stock": "rest",
            "length": inches(77, 3, 4),
            "offcut": inches(0, 1, 8),
            "kept": False,
            "bought": False,
        }
    )
    broken = rules_broken(plan, with_stock(sticks=(stick(), rack)))
    assert "rails, saw cuts and trims fit the stick" not in broken
    assert "the offcut is what is left after the last saw cut" not in broken


def test_an_offcut_given_too_long_is_found() -> None:
    plan = with_stick(lambda s: {"offcut": Ticks(s.offcut + 5)})
    assert rules_broken(plan) == {"the offcut is what is left after the last saw cut": 5}


def test_a_useful_offcut_is_not_thrown_away() -> None:
    assert rules_broken(with_stick(lambda _: {"kept": False})) == {
        "an offcut is kept exactly when it is long enough": inches(18, 1, 8)
    }


def test_a_mitre_takes_kerf_times_root_two_rounded_up() -> None:
    # 1,016 ticks x 1.41421 = 1,436.84; the frame check reports the missing deduction separately.
    mitred = with_stock(profiles=(profile(corner=Corner.MITRED),))
    rule = "the saw cut follows from the kerf and the joint"
    assert rule not in rules_broken(with_group(lambda _: {"joint_kerf": Ticks(1_437)}), mitred)
    assert rule in rules_broken(with_group(lambda _: {"joint_kerf": Ticks(1_436)}), mitred)
    assert rule in rules_broken(with_group(lambda _: {"joint_kerf": Ticks(1_438)}), mitred)


def test_no_more_sticks_are_bought_than_can_be_had() -> None:
    assert rules_broken(good_plan(), with_stock(sticks=(stick(limit=1),)))["at most 1 can be bought"] == 1


def test_a_stick_that_is_not_on_sale_cannot_be_bought() -> None:
    assert (
        rules_broken(good_plan(), with_stock(sticks=(stick(on_sale=False, on_hand=9),)))["at most 0 can be bought"] == 2
    )


def test_no_more_is_taken_from_the_rack_than_lies_there() -> None:
    plan = with_stick(lambda _: {"bought": False})
    assert rules_broken(plan)["at most 0 are on hand"] == 1


def test_a_stick_of_another_colour_serves_nobody() -> None:
    brown = with_stock(sticks=(stick(colour="brown"),))
    assert "stock '8 ft' is listed for this group" in rules_broken(good_plan(), brown)


def test_sticks_are_numbered_in_cutting_order() -> None:
    assert rules_broken(with_stick(lambda _: {"number": 0})) == {"numbers rise in cutting order": 1}


# Rolls


def test_a_blank_wider_than_its_strip_is_found() -> None:
    def narrow(roll_: CutRoll) -> Changes:
        crosscut = roll_.crosscuts[0]
        return {"crosscuts": (replace(crosscut, strips=(replace(crosscut.strips[0], width=inches(35)),)),)}

    broken = rules_broken(with_roll(narrow))
    assert broken["blank A-101 1 is no wider than its strip"] == inches(0, 1, 8)


def test_a_crosscut_shorter_than_its_blank_is_found() -> None:
    def short(roll_: CutRoll) -> Changes:
        return {"crosscuts": (replace(roll_.crosscuts[0], length=inches(49)),)}

    assert rules_broken(with_roll(short))["blanks fit along the crosscut"] == inches(0, 1, 4)


def test_crosscuts_longer_than_the_roll_are_found() -> None:
    short = with_stock(rolls=(roll(length=inches(49)),))
    plan = with_roll(lambda _: {"length": inches(49)})
    assert rules_broken(plan, short)["crosscuts fit the roll"] == inches(0, 1, 4)


def test_a_crosscut_longer_than_the_table_is_found() -> None:
    rules = Rules(longest_crosscut=inches(48))
    broken = rules_broken(good_plan(), replace(good_problem(), rules=rules))
    assert broken["no longer than the cutting table takes"] == inches(1, 1, 4)


def test_two_blanks_in_one_strip_are_three_stages() -> None:
    def doubled(roll_: CutRoll) -> Changes:
        strip = roll_.crosscuts[0].strips[0]
        stacked = replace(strip, blanks=strip.blanks * 2)
        return {"crosscuts": (replace(roll_.crosscuts[0], strips=(stacked,)),)}

    two, three = Rules(mesh_stages=2), Rules(mesh_stages=3)
    rule = "in two stages a strip holds one blank"
    assert rules_broken(with_roll(doubled), replace(good_problem(), rules=two))[rule] == 1
    assert rule not in rules_broken(with_roll(doubled), replace(good_problem(), rules=three))


def test_what_every_crosscut_loses_counts_against_the_roll() -> None:
    rules = Rules(crosscut_extra=inches(1))
    broken = rules_broken(good_plan(), replace(good_problem(), rules=rules))
    assert broken["the length used adds up"] == -inches(1)


def test_a_roll_end_worth_keeping_is_listed() -> None:
    assert rules_broken(with_mesh(lambda _: {"leftovers": ()})) == {"the leftovers listed are those worth keeping": 1}


# Purchases and money


def test_a_purchase_list_one_stick_short_is_found() -> None:
    broken = rules_broken(with_line(0, need=1, buy=1, cost=Cents(800)))
    assert broken["the purchase list covers what is cut"] == -1


def test_a_purchase_list_without_corners_is_found() -> None:
    plan = good_plan()
    bare = replace(plan, purchases=plan.purchases[:2] + plan.purchases[3:], total=Cents(8_260), bound=Cents(8_260))
    assert rules_broken(bare) == {"the purchase list covers what the screens need": 4}


def test_spares_belong_to_the_need() -> None:
    # 1 % of 4 corners rounds up to 1 spare corner; likewise springs, tabs and spline.
    rules = Rules(hardware_spares=10)
    broken = [fault for fault in faults(replace(good_problem(), rules=rules), good_plan()) if fault.where == "corner"]
    assert [fault.amount for fault in broken] == [1]


def test_need_and_rest_add_up_to_what_is_bought() -> None:
    assert rules_broken(with_line(2, left=1)) == {"need and rest add up to what is there and bought": -1}


def test_a_line_is_price_times_number() -> None:
    broken = rules_broken(with_line(0, cost=Cents(1_500)))
    assert broken == {"price times number": -100, "the lines add up to the total": 100}


def test_a_total_that_does_not_add_up_is_found() -> None:
    assert rules_broken(replace(good_plan(), total=Cents(8_561), bound=Cents(8_561))) == {
        "the lines add up to the total": 1
    }


def test_a_bound_that_leaves_nothing_to_save_although_a_group_does_is_found() -> None:
    plan = with_group(lambda group: {"proof": replace(group.proof, bound=1_500, ending=Ending.WORK)})
    assert rules_broken(plan) == {"the bound leaves out what could still be saved": 100}


def test_a_group_cannot_cost_less_than_its_bound() -> None:
    plan = with_group(lambda group: {"proof": replace(group.proof, bound=1_601, ending=Ending.WORK)})
    assert rules_broken(plan)["the bound is not above the cost"] == 1


def test_proven_is_said_exactly_when_bound_and_cost_are_equal() -> None:
    plan = with_group(lambda group: {"proof": replace(group.proof, bound=1_500)})
    assert rules_broken(plan)["called proven exactly when bound and cost are equal"] == 100


def test_a_group_costs_what_its_sticks_cost() -> None:
    plan = with_group(lambda group: {"proof": replace(group.proof, cost=1_700, bound=1_700)})
    assert rules_broken(plan) == {"the cost is that of the stock bought": 100}


def test_without_prices_sticks_cost_their_length_and_rolls_their_area() -> None:
    problem = with_stock(sticks=(stick(price=None),), rolls=(roll(price=None),), packs=())
    plan = good_plan()
    length, area = 2 * inches(96), inches(48) * inches(1_200)
    groups = {
        "stick_groups": (
            replace(
                plan.stick_groups[0],
                proof=replace(plan.stick_groups[0].proof, measure="ticks", cost=length, bound=length),
            ),
        ),
        "roll_groups": (
            replace(
                plan.roll_groups[0],
                proof=replace(plan.roll_groups[0].proof, measure="square ticks", cost=area, bound=area),
            ),
        ),
    }
    assert "the cost is that of the stock bought" not in rules_broken(replace(plan, **groups), problem)  # type: ignore[arg-type]
