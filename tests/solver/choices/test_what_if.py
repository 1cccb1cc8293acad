"""Choices side by side, and what stands in for stock that is not to be had."""

from __future__ import annotations

import pytest

from solver.catalogue import Corner, Hardware, Mesh
from solver.choices import (
    HardwareSpares,
    OtherColour,
    OtherCorner,
    OtherMesh,
    OtherProfile,
    PhaseByPhase,
    StickOnSale,
    Turned,
    Variation,
    Without,
    hit_by,
    substitutes,
    what_if,
)
from solver.lengths import inches
from solver.money import Cents
from solver.rules import Turning
from solver.solve import solve
from tests.builders import COLOUR, MESH, PROFILE, limits, opening, pack, problem, profile, roll, stick


def test_the_job_as_it_is_comes_first_and_the_others_are_measured_against_it() -> None:
    cheap = StickOnSale(profile=PROFILE, colour=COLOUR, length=inches(192), price=Cents(1_000))
    first, second = what_if(problem(), {"16 ft at 10.00": [cheap]}, limits())
    assert (first.name, first.total) == ("as it is", 7_600)
    # One stick of 192 in holds the window's 155 1/4 in: 10.00 instead of 16.00.
    assert (second.total, second.more_than_first) == (7_000, -600)


def test_waste_is_what_ends_neither_in_a_rail_nor_in_a_useful_offcut() -> None:
    # 192 in of stick, 154 3/4 in of rails, an offcut of 32 1/4 kept, 4 in not: 5 in of 192.
    outcome = what_if(problem(), {}, limits())[0]
    assert outcome.rail_waste == pytest.approx(5 / 192)


def test_a_choice_that_cannot_be_planned_says_why() -> None:
    outcomes = what_if(problem(), {"bronze": [OtherColour(colour="bronze")]}, limits())
    assert outcomes[1].total is None
    assert "bronze" in outcomes[1].trouble


def test_every_kind_of_choice_can_be_compared() -> None:
    job = problem(
        opening("A", phase="1"),
        opening("B", phase="2"),
        profiles=(profile(), profile(name="7/16")),
        sticks=(stick(), stick("8 ft 7/16", profile="7/16", price=900)),
        meshes=(Mesh(name=MESH), Mesh(name="pet cloth")),
        rolls=(roll(), roll("pet", mesh="pet cloth", price=9_000)),
        packs=(pack(Hardware.CORNER, 8, 100),),
    )
    choices: dict[str, list[Variation]] = {
        "7/16": [OtherProfile(profile="7/16")],
        "pet cloth": [OtherMesh(mesh="pet cloth")],
        "turned": [Turned(turning=Turning.FREE)],
        "mitred": [OtherCorner(corner=Corner.MITRED)],
        "spares": [HardwareSpares(per_mille=100)],
        "phases": [PhaseByPhase()],
    }
    outcomes = {outcome.name: outcome for outcome in what_if(job, choices, limits())}
    assert all(outcome.trouble == "" for outcome in outcomes.values())
    assert outcomes["7/16"].more_than_first == 400
    assert outcomes["pet cloth"].more_than_first == 3_000
    assert outcomes["spares"].more_than_first == 100
    assert len(outcomes["phases"].plans) == 2


def test_openings_cut_from_stock_that_is_out_are_named() -> None:
    job = problem(opening("A"), opening("B", colour="bronze"), sticks=(stick(), stick("bronze", colour="bronze")))
    plan = solve(job, limits())
    assert [(hit.opening, hit.pieces) for hit in hit_by(plan, "8 ft")] == [("A", 4)]
    assert [hit.opening for hit in hit_by(plan, "48 in x 100 ft")] == ["A", "B"]


def test_another_length_or_colour_stands_in_for_a_stick() -> None:
    job = problem(sticks=(stick(), stick("12 ft", inches(144), 1_300), stick("bronze", colour="bronze", price=850)))
    outcomes = {outcome.name: outcome.more_than_first for outcome in substitutes(job, "8 ft", limits())}
    # Two of 12 ft at 13.00 instead of two of 8 ft at 8.00, or two bronze ones at 8.50.
    assert outcomes == {"as it is": None, "other sizes": 1_000, "colour bronze": 100}


def test_another_mesh_stands_in_for_a_roll() -> None:
    job = problem(
        meshes=(Mesh(name=MESH), Mesh(name="pet cloth")), rolls=(roll(), roll("pet", mesh="pet cloth", price=9_000))
    )
    outcomes = {outcome.name: outcome for outcome in substitutes(job, "48 in x 100 ft", limits())}
    assert outcomes["other sizes"].trouble
    assert outcomes["mesh pet cloth"].more_than_first == 3_000


def test_stock_nobody_lists_has_no_substitute() -> None:
    with pytest.raises(KeyError):
        substitutes(problem(), "9 ft", limits())


def test_only_the_screens_of_the_missing_sort_get_what_stands_in() -> None:
    # One screen is of the missing 5/16 white; the others, of another colour or profile, stay as they are.
    job = problem(
        opening("A"),
        opening("B", colour="bronze"),
        opening("C", profile="7/16"),
        profiles=(profile(), profile(name="7/16", thickness=inches(0, 7, 16)), profile(name="wide")),
        sticks=(
            stick(),
            stick("bronze", colour="bronze", price=900),
            stick("8 ft 7/16", profile="7/16", price=1_000),
            stick("8 ft wide", profile="wide", price=1_100),
        ),
    )
    answers = {one.name: one for one in substitutes(job, "8 ft", limits())}
    stands_in = {
        name: {s.opening: (s.profile, s.colour) for s in answers[name].plans[0].screens}
        for name in ("colour bronze", "profile wide")
    }
    rest = {"B": (PROFILE, "bronze"), "C": ("7/16", COLOUR)}
    assert stands_in == {
        "colour bronze": {"A": (PROFILE, "bronze")} | rest,
        "profile wide": {"A": ("wide", COLOUR)} | rest,
    }
    # Two sticks of 8.00 are bought today; of bronze they are 9.00, of the wide profile 11.00.
    assert [answers[name].more_than_first for name in ("colour bronze", "profile wide")] == [200, 600]


def test_stock_that_nobody_sells_cannot_be_left_out() -> None:
    (_, wrong) = what_if(problem(), {"a": [Without(stock=("8 fet",))]}, limits())
    assert "no stock is called 8 fet; there is 8 ft" in wrong.trouble
    assert not wrong.plans
