"""A mesh part: its blanks as numbers, its rolls with labels and leftovers."""

from __future__ import annotations

import pytest

from solver.catalogue import KitMesh
from solver.errors import ProblemError
from solver.lengths import Ticks, inches
from solver.parts.blanks import labelled_rolls, roll_group, roll_nesting
from solver.parts.offers import roll_offers
from solver.rolls.model import NestedCrosscut, NestedRoll, NestedStrip, RollWidth
from solver.rules import Rules
from tests.builders import MESH, limits, roll
from tests.solver.parts.small_parts import blank_labels, blank_part, blanks
from tests.solver.purchase.offers import kit

EXACT = Rules(selvage_trim=Ticks(0), useful_mesh_width=inches(18), useful_mesh_length=inches(24))


def test_equal_blanks_of_all_openings_are_one_demand_longest_first() -> None:
    part = blank_part(
        blanks("A", inches(30), inches(40), 2), blanks("B", inches(20), inches(50)), blanks("C", inches(30), inches(40))
    )
    problem = roll_nesting(part, [RollWidth(width=inches(47), length=None, cost=1)])
    assert [(blank.across, blank.along, blank.count) for blank in problem.blanks] == [
        (inches(20), inches(50), 1),
        (inches(30), inches(40), 3),
    ]


def test_a_selvage_is_trimmed_off_each_edge_of_a_roll() -> None:
    part = blank_part(blanks("A", inches(30), inches(40)), rules=Rules(selvage_trim=inches(0, 1, 2)))
    assert [offer.usable for offer in roll_offers(part)] == [inches(47)]


def test_a_roll_narrower_than_every_blank_is_left_out() -> None:
    part = blank_part(blanks("A", inches(30), inches(40)), rolls=(roll("24 in", inches(24)), roll()))
    assert [offer.stock for offer in roll_offers(part)] == ["48 in x 100 ft"]


def test_a_roll_that_takes_a_blank_turned_is_of_use_where_the_mesh_may_turn() -> None:
    narrow = roll("36 in", inches(36))
    assert not roll_offers(blank_part(blanks("A", inches(40), inches(30)), rolls=(narrow,)))
    assert roll_offers(blank_part(blanks("A", inches(40), inches(30)), rolls=(narrow,), turns=True))


def test_every_blank_of_every_copy_is_cut_once() -> None:
    part = blank_part(blanks("A", inches(22), inches(40), 3), blanks("B", inches(22), inches(40), 2))
    labels = blank_labels(roll_group(part, limits()))
    assert sorted(labels) == [("A", 1), ("A", 2), ("A", 3), ("B", 1), ("B", 2)]


def test_two_narrow_blanks_lie_side_by_side() -> None:
    part = blank_part(blanks("A", inches(24), inches(40), 2), rules=EXACT)
    (cut,) = roll_group(part, limits()).rolls
    assert len(cut.crosscuts) == 1
    assert cut.used == inches(40)


def test_a_turned_blank_says_so() -> None:
    part = blank_part(blanks("A", inches(60), inches(40)), rules=EXACT, turns=True)
    (cut,) = roll_group(part, limits()).rolls
    (blank,) = cut.crosscuts[0].strips[0].blanks
    assert (blank.turned, blank.across, blank.along) == (True, inches(40), inches(60))


def test_running_length_adds_up_the_crosscuts_and_is_bought_by_the_started_step() -> None:
    foot = roll("48 in by the foot", price=100, length=None, step=inches(12))
    part = blank_part(blanks("A", inches(40), inches(50)), rolls=(foot,), rules=EXACT)
    group = roll_group(part, limits())
    assert (group.rolls[0].used, group.rolls[0].left, group.proof.cost) == (inches(50), 0, 500)


def test_every_crosscut_loses_its_extra() -> None:
    rules = Rules(selvage_trim=Ticks(0), crosscut_extra=inches(1))
    (cut,) = roll_group(blank_part(blanks("A", inches(40), inches(50), 2), rules=rules), limits()).rolls
    assert (cut.used, cut.left) == (inches(102), inches(1_098))


def test_in_three_stages_blanks_follow_each_other_in_a_strip() -> None:
    # Beside a blank of 24 x 80 lie two of 24 x 40 in one strip; in two stages the second needs a crosscut of its own.
    runs = (blanks("A", inches(24), inches(80)), blanks("B", inches(24), inches(40), 2))
    foot = roll("48 in by the foot", price=100, length=None, step=inches(12))
    used = {}
    for stages in (2, 3):
        rules = Rules(selvage_trim=Ticks(0), mesh_stages=stages)
        (cut,) = roll_group(blank_part(*runs, rolls=(foot,), rules=rules), limits()).rolls
        used[stages] = cut.used
    assert used == {2: inches(120), 3: inches(80)}


def test_the_roll_end_and_wide_side_strips_are_leftovers() -> None:
    # A blank of 28 x 40 on 48 in: a side strip of 20 x 40 and an end of 48 x 1,160.
    group = roll_group(blank_part(blanks("A", inches(28), inches(40)), rules=EXACT), limits())
    assert [(piece.crosscut, piece.width, piece.length) for piece in group.leftovers] == [
        (None, inches(48), inches(1_160)),
        (1, inches(20), inches(40)),
    ]


def test_a_side_strip_keeps_its_selvage() -> None:
    rules = Rules(selvage_trim=inches(1), useful_mesh_width=inches(18), useful_mesh_length=inches(24))
    group = roll_group(blank_part(blanks("A", inches(28), inches(40)), rules=rules), limits())
    assert group.leftovers[1].width == inches(19)


def test_a_narrow_side_strip_is_not_kept() -> None:
    group = roll_group(blank_part(blanks("A", inches(31), inches(40)), rules=EXACT), limits())
    assert [piece.crosscut for piece in group.leftovers] == [None]


def test_a_roll_on_the_rack_is_used_before_one_is_bought() -> None:
    rack = roll("part roll", price=None, length=inches(90), on_sale=False, on_hand=1)
    group = roll_group(blank_part(blanks("A", inches(40), inches(45), 2), rolls=(roll(), rack), rules=EXACT), limits())
    assert [(cut.stock, cut.bought) for cut in group.rolls] == [("part roll", False)]
    assert group.proof.cost == 0


def test_without_prices_the_least_area_is_taken() -> None:
    rolls = (roll("36 in", inches(36), None), roll("48 in", inches(48), None))
    group = roll_group(blank_part(blanks("A", inches(35), inches(40)), rolls=rolls, rules=EXACT), limits())
    assert (group.proof.measure, group.proof.cost) == ("square ticks", inches(36) * inches(1_200))


def test_mesh_of_a_kit_on_hand_is_free() -> None:
    piece = KitMesh(mesh=MESH, width=inches(36), length=inches(48))
    part = blank_part(blanks("A", inches(30), inches(40)), kits=(kit(on_hand=1, mesh=piece),))
    (cut,) = roll_group(part, limits()).rolls
    assert (cut.stock, cut.from_kit, cut.bought, cut.left) == ("kit 36", True, False, inches(8))


def test_too_few_rolls_name_the_part_and_what_there_is() -> None:
    part = blank_part(blanks("A", inches(40), inches(700), 2), rolls=(roll(limit=1, source="rolls!3"),))
    with pytest.raises(ProblemError) as caught:
        roll_group(part, limits())
    assert str(caught.value) == (
        "rolls!3: mesh glass 18x16: the rolls that can be had do not hold all 2 blanks (there are: 1 of "
        "48 in x 100 ft; the widest blank is 40); raise the number that can be bought, or add a roll"
    )


def test_labels_follow_a_hand_written_answer() -> None:
    part = blank_part(blanks("A", inches(20), inches(40), 3), rules=EXACT)
    offers = roll_offers(part)
    problem = roll_nesting(part, [RollWidth(width=offers[0].usable, length=offers[0].length, cost=1)])
    pair = NestedCrosscut(
        length=inches(40), strips=(NestedStrip(width=inches(20), blanks=((0, False, 1),)),) * 2, copies=1
    )
    single = NestedCrosscut(
        length=inches(40), strips=(NestedStrip(width=inches(20), blanks=((0, False, 1),)),), copies=1
    )
    (cut,) = labelled_rolls(part, problem, offers, [NestedRoll(roll=0, crosscuts=(pair, single), copies=1)])
    assert [(c.number, [b.copy for s in c.strips for b in s.blanks]) for c in cut.crosscuts] == [(1, [1, 2]), (2, [3])]
