"""What plan.json promises other programs."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from hypothesis import given
from hypothesis import strategies as st

import service.documents
from service.documents.plan_json import plan_document, plan_json_chunks, plan_schema, plan_schema_text, write_plan_json
from service.documents.plan_values import PlanValues
from solver.lengths import Ticks, Unit, inches, mm_number
from solver.openings import Parked
from solver.pieces import PinnedBlank, PinnedRail
from solver.plan import Place, Plan
from solver.problem import Problem
from tests.service.documents.made_plans import inch_job, kit_job, metric_job

Job = Callable[[], tuple[Problem, Plan]]
JOBS = pytest.mark.parametrize("job", [inch_job, metric_job, kit_job])


def written(job: Job) -> Any:
    return json.loads(b"".join(plan_json_chunks(*job())))


def test_the_published_schema_is_in_step_with_the_documents() -> None:
    published = Path(service.documents.__file__).with_name("plan.schema.json").read_text(encoding="utf-8")
    assert published == plan_schema_text(), "write it anew: python -m service.documents.plan_json"


def test_the_schema_is_a_schema() -> None:
    jsonschema.Draft202012Validator.check_schema(plan_schema())


@JOBS
def test_every_document_keeps_the_schema(job: Job) -> None:
    jsonschema.Draft202012Validator(plan_schema()).validate(written(job))


@JOBS
def test_written_piece_by_piece_it_is_the_same_document(job: Job) -> None:
    assert written(job) == json.loads(plan_document(*job()).model_dump_json())


@JOBS
def test_written_twice_it_is_the_same_file(job: Job, tmp_path: Path) -> None:
    for name in ("one", "two"):
        write_plan_json(*job(), tmp_path / name)
    assert (tmp_path / "one").read_bytes() == (tmp_path / "two").read_bytes()


@given(st.integers(min_value=-(10**9), max_value=10**9))
def test_millimetres_as_written_are_the_exact_decimal(length: int) -> None:
    made = PlanValues(Unit.MM, "").length(Ticks(length))
    assert json.loads(json.dumps(made.mm), parse_float=Decimal) == mm_number(Ticks(length))


def test_a_length_stands_in_both_units() -> None:
    rail = written(inch_job)["screens"][0]["rails"][0]
    assert rail == {"place": "top", "length": {"mm": 803.275, "tape": "31 5/8"}}


def test_money_is_a_decimal_string() -> None:
    assert written(inch_job)["money"] == {
        "total": "101.50",
        "bound": "100.00",
        "by_hand": "114.00",
        "proven": False,
        "above_best_percent": "1.5",
    }


def test_a_job_without_prices_has_no_money() -> None:
    money = written(metric_job)["money"]
    assert (money["total"], money["proven"]) == (None, False)


def test_every_piece_is_cut_once_under_its_own_name() -> None:
    document = written(inch_job)
    rails = [rail["piece"] for group in document["stick_groups"] for s in group["sticks"] for rail in s["rails"]]
    blanks = [
        blank["piece"]
        for group in document["roll_groups"]
        for roll in group["rolls"]
        for crosscut in roll["crosscuts"]
        for strip in crosscut["strips"]
        for blank in strip["blanks"]
    ]
    sides = ("top", "bottom", "left", "right", "mesh")
    names = ("B2-101-LR", "type C (1 of 2)", "type C (2 of 2)")
    assert sorted(rails + blanks) == sorted(f"{name} {side}" for name in names for side in sides)


def test_the_second_rail_starts_one_trim_one_rail_and_one_kerf_from_the_end() -> None:
    second = written(inch_job)["stick_groups"][0]["sticks"][0]["rails"][1]
    assert second["starts_at"]["tape"] == "46 1/8"  # 1/4 + 45 3/4 + 1/8


def test_a_leftover_stick_is_not_trimmed_at_its_clean_end() -> None:
    leftover = written(inch_job)["stick_groups"][0]["sticks"][3]
    assert (leftover["bought"], leftover["start_trim"]["mm"], leftover["rails"][0]["starts_at"]["mm"]) == (False, 0, 0)


def test_the_second_crosscut_starts_behind_the_first_and_its_loss() -> None:
    second = written(metric_job)["roll_groups"][0]["rolls"][0]["crosscuts"][1]
    assert second["starts_at"]["mm"] == 1255  # 1250 + 5


def test_a_strip_starts_behind_the_selvage() -> None:
    crosscut = written(metric_job)["roll_groups"][0]["rolls"][0]["crosscuts"][0]
    assert crosscut["strips"][0]["starts_at"]["mm"] == 10


def test_running_length_has_no_roll_length() -> None:
    assert written(metric_job)["roll_groups"][0]["rolls"][0]["length"] is None


def test_each_group_says_how_sure_it_is() -> None:
    sticks, mesh = (written(inch_job)[kind][0]["certainty"] for kind in ("stick_groups", "roll_groups"))
    assert (sticks["proven"], sticks["words"]) == (True, "proven: nothing cheaper exists")
    assert (mesh["proven"], mesh["above_best_percent"], mesh["bound"]["text"]) == (False, "3.2", "47.50 USD")


def test_a_rule_of_one_row_follows_the_rule_of_the_job() -> None:
    bars = [rule for rule in written(inch_job)["rules"] if rule["name"] == "bar_above"]
    assert [(rule["text"], rule["openings"]) for rule in bars] == [("48 in", []), ("40 in", ["type C"])]


def test_leftovers_name_the_sticks_they_come_from() -> None:
    kept = written(inch_job)["leftovers"]["sticks"]
    assert [(one["length"]["tape"], one["count"], one["sticks"]) for one in kept] == [("14 1/8", 1, [4])]


def test_equal_lengths_are_made_once() -> None:
    values = PlanValues(Unit.INCH, "")
    assert values.length(inches(12)) is values.length(inches(12))


def test_a_kit_opened_says_what_of_it_is_used() -> None:
    (kit,) = written(kit_job)["kits"]
    used = [(content["what"], content["there"]["text"], content["used"]["text"]) for content in kit["contents"]]
    assert used == [("stick", "4", "3"), ("corner 5/16", "4", "4"), ("spline 0.160", "144 in", "140 in")]


def test_a_group_bought_with_others_names_its_basket() -> None:
    group = written(kit_job)["stick_groups"][0]
    assert group["certainty"]["joint"] == "basket 1"
    assert group["certainty"]["words"] == "decided for basket 1 as a whole; proven: nothing cheaper exists"


def test_a_stick_from_a_kit_is_trimmed_like_a_bought_one() -> None:
    stick = written(kit_job)["stick_groups"][0]["sticks"][0]
    assert (stick["stock"], stick["from_kit"], stick["start_trim"]["tape"]) == ("kit 36", True, "1/4")


def test_other_ways_to_buy_stand_beside_the_plan() -> None:
    assert [(way["name"], way["cost"]) for way in written(kit_job)["alternatives"]] == [
        ("one kit for each window", "120.00"),
        ("loose stock only", None),
    ]


def test_what_the_leftovers_would_make_is_listed() -> None:
    (made,) = written(kit_job)["still_possible"]
    assert (made["frame_width"]["tape"], made["count"], made["largest"]) == ("12", 2, True)


def test_what_was_cut_before_is_listed_by_name() -> None:
    problem, plan = inch_job()
    rail = PinnedRail(opening="type C", copy=2, place=Place.TOP, length=inches(18, 1, 2))
    blank = PinnedBlank(opening="B2-101-LR", copy=1, width=inches(35, 1, 8), height=inches(49, 1, 4))
    before = replace(problem, pinned_rails=(rail,), pinned_blanks=(blank,))
    document = plan_document(before, plan)
    assert [(piece.piece, piece.code, piece.place) for piece in document.pinned] == [
        ("type C (2 of 2) top", "2.2.T", "top"),
        ("B2-101-LR mesh", "1.1.M", "mesh"),
    ]


def test_rows_to_measure_again_are_listed_with_their_reasons() -> None:
    problem, plan = inch_job()
    parked = Parked(label="N1", floor="2", read="27,5", reasons=("openings!C7: 27,5 is no tape reading",))
    (row,) = plan_document(replace(problem, parked=(parked,)), plan).parked
    assert (row.label, row.floor, row.read, row.reasons) == (parked.label, "2", "27,5", parked.reasons)
