"""What the command line says about a plan."""

from __future__ import annotations

import json
from dataclasses import replace

from service.documents.summary_text import summary_json, summary_lines
from solver.lengths import inches
from solver.money import Cents
from solver.openings import Parked
from solver.pieces import PinnedRail, Place
from tests.service.documents.made_plans import inch_job, kit_job, metric_job


def test_it_says_what_to_buy_with_its_money() -> None:
    lines = summary_lines(*inch_job())
    assert lines[:4] == [
        "Birch Court: 2 openings, 3 screens",
        "",
        "To buy",
        "                 3  stick 5/16 white (8 ft white)  37.50 USD",
    ]


def test_it_says_how_sure_the_total_is() -> None:
    assert "At most 1.5 % above the cheapest purchase that can exist (nothing under 100.00 USD)." in summary_lines(
        *inch_job()
    )


def test_a_proven_total_says_so() -> None:
    problem, plan = inch_job()
    assert "Proven: no cheaper purchase exists." in summary_lines(problem, replace(plan, bound=plan.total))


def test_it_compares_with_doing_it_by_hand() -> None:
    assert "By hand a careful shop would pay 114.00 USD: this plan costs 10.9 % less (12.50 USD)." in summary_lines(
        *inch_job()
    )


def test_a_plan_no_cheaper_than_by_hand_says_so() -> None:
    problem, plan = inch_job()
    assert "By hand a careful shop would pay 101.50 USD: this plan costs the same." in summary_lines(
        problem, replace(plan, by_hand=plan.total)
    )


def test_without_prices_it_compares_material() -> None:
    lines = summary_lines(*metric_job())
    assert "    by hand 6.00 m²: this plan takes 50 % less" in lines
    assert not any("Total" in line for line in lines)


def test_it_counts_leftovers_and_cautions() -> None:
    lines = summary_lines(*inch_job())
    assert "Leftovers worth keeping: 1 stick offcut (longest 14 1/8 in) and 1 mesh piece." in lines
    assert "Cautions: 1. Read them before cutting and fitting (sheet 'notices')." in lines


def test_what_was_assumed_is_said() -> None:
    assert summary_lines(*inch_job())[-1] == "  Saw cut 1/8 in: the job does not say."


def test_a_long_purchase_list_is_cut_short() -> None:
    problem, plan = inch_job()
    lines = summary_lines(problem, replace(plan, purchases=plan.purchases[:1] * 25))
    assert "  and 5 more lines in the purchase list" in lines


def test_all_on_the_rack_means_nothing_to_buy() -> None:
    problem, plan = inch_job()
    assert "Nothing to buy: all of it lies on the rack." in summary_lines(problem, replace(plan, purchases=()))


def test_a_program_gets_the_same_as_json() -> None:
    said = json.loads(json.dumps(summary_json(*inch_job())))
    assert (said["job"], said["openings"], said["screens"]) == ("Birch Court", 2, 3)
    assert (said["total"], said["bound"], said["by_hand"], said["proven"]) == ("101.50", "100.00", "114.00", False)
    assert [group["proven"] for group in said["groups"]] == [True, False]
    assert said["leftovers"] == {"sticks": 1, "mesh": 1}
    assert said["notices"] == {"notice": 1, "review": 1, "caution": 1}


def test_proven_means_every_group_and_the_total() -> None:
    problem, plan = inch_job()
    sure = replace(plan, roll_groups=(), bound=plan.total)
    assert summary_json(problem, sure)["proven"] is True
    assert summary_json(problem, replace(sure, bound=Cents(1)))["proven"] is False


def test_other_ways_to_buy_are_said_with_their_money() -> None:
    lines = summary_lines(*kit_job())
    assert lines[lines.index("  one kit for each window: 120.00 USD") + 1] == "  loose stock only: no way"


def test_what_is_bought_together_is_named_with_one_cost() -> None:
    lines = summary_lines(*kit_job())
    place = next(n for n, line in enumerate(lines) if line.startswith("  bought together: rails 5/16 white"))
    assert lines[place + 1].endswith("proven: nothing cheaper exists")
    assert not any(line.startswith("  rails 5/16 white:") for line in lines)


def test_rows_set_aside_are_counted() -> None:
    problem, plan = inch_job()
    aside = replace(problem, parked=(Parked(label="N1"), Parked(label="N2")))
    assert "Not planned: 2 rows are set aside to be measured again (sheet 'measure again')." in summary_lines(
        aside, plan
    )
    assert summary_json(aside, plan)["parked"] == 2


def test_pieces_cut_before_are_counted() -> None:
    problem, plan = inch_job()
    rail = PinnedRail(opening="type C", copy=1, place=Place.TOP, length=inches(18, 1, 2))
    lines = summary_lines(replace(problem, pinned_rails=(rail,)), plan)
    assert "Cut before: 1 piece, left as it is; only the others are planned." in lines
