"""What a job gets that brings only its openings."""

from typing import Any

import pytest

from solver.defaults import default_catalogue, default_rules
from solver.lengths import Unit, inches, mm
from solver.openings import Datum
from solver.problem import Problem
from solver.rules import Turning
from solver.sizing import sized
from tests.builders import opening


@pytest.mark.parametrize("unit", list(Unit))
def test_no_price_is_invented_and_every_record_says_its_source(unit: Unit) -> None:
    stock = default_catalogue(["white", "brown"], ["glass 18x16", "pet 14x10"], unit)
    prices = (
        [each.price for each in stock.sticks]
        + [each.price for each in stock.rolls]
        + [each.price for each in stock.packs]
    )
    assert set(prices) == {None}
    kinds: tuple[Any, ...] = (stock.profiles, stock.meshes, stock.sticks, stock.rolls, stock.packs, stock.splines)
    assert all(record.source for kind in kinds for record in kind)


def test_a_job_with_only_openings_is_sized_from_the_defaults() -> None:
    stock = default_catalogue([""], [""])
    row = opening(profile=None, colour="", mesh="", slot_width=inches(0, 3, 8))
    made = sized(Problem(openings=(row,), catalogue=stock)).screens[0]
    assert (made.profile, made.colour, made.mesh) == ("5/16", "white", "glass 18x16")


def test_a_metric_job_is_sized_from_metric_defaults() -> None:
    stock = default_catalogue(["white"], ["glass 18x16"], Unit.MM)
    row = opening(widths=(mm("850.5"),), heights=(mm(1_250),), profile=None, slot_width=mm(10))
    made = sized(Problem(openings=(row,), catalogue=stock, rules=default_rules(Unit.MM), unit=Unit.MM)).screens[0]
    assert made.arithmetic == (
        "profile: slot 10 - 1 play = 9; the thickest that fits in white is 9 mm",
        "width: 850.5 - 3 clearance = 847.5; down to a full 1 = 847; mitred rails 847, long point to long point",
        "height: 1250 - 3 clearance = 1247; mitred rails 1247, long point to long point",
        "cross bar: 1247 is over 1200; level at mid-height; 847 - 2 x 25 faces = 797",
        "mesh width: 847 + 2 x 25 = 897",
        "mesh height: 1247 + 2 x 25 = 1297",
        "spline: 2 x (847 + 1247) + 5 % = 4398, rounded up",
    )


def test_a_metric_shop_takes_the_usual_metric_profile() -> None:
    stock = default_catalogue(["white"], [], Unit.MM)
    row = opening(widths=(mm(850),), heights=(mm(900),), profile=None, mesh="", width_datum=Datum.FINISHED)
    assert sized(Problem(openings=(row,), catalogue=stock, rules=default_rules(Unit.MM))).screens[0].profile == "9 mm"


def test_colours_and_meshes_are_listed_once_upper_and_lower_case_alike() -> None:
    stock = default_catalogue(["White", "white", " "], ["Glass 18x16", "glass 18x16"])
    assert {stick.colour for stick in stock.sticks} == {"White"}
    assert [mesh.name for mesh in stock.meshes] == ["Glass 18x16"]


@pytest.mark.parametrize(
    ("name", "turning", "heavy", "counts"),
    [
        ("solar 90", Turning.NEVER, True, (None, None)),  # ASTM D4028, 1.1: ribbed in the warp
        ("Pet 14x10", Turning.FREE, True, (14, 10)),  # common practice, no source
        ("aluminium 18 x 16", Turning.NEVER, False, (18, 16)),
        ("something else", Turning.NEVER, False, (None, None)),
    ],
)
def test_a_mesh_is_known_by_what_its_name_says(
    name: str, turning: Turning, heavy: bool, counts: tuple[int | None, int | None]
) -> None:
    (mesh,) = default_catalogue([], [name]).meshes
    assert (mesh.turning, mesh.heavy, (mesh.count_across, mesh.count_along)) == (turning, heavy, counts)


def test_heavy_cloth_gets_one_size_of_spline_less() -> None:
    stock = default_catalogue([], ["glass 18x16", "pet 14x10"])
    assert [(choice.mesh, choice.spline) for choice in stock.splines] == [("", "0.160 in"), ("pet 14x10", "0.140 in")]


@pytest.mark.parametrize("unit", list(Unit))
def test_default_profiles_are_all_stocked_and_the_usual_one_among_them(unit: Unit) -> None:
    stock = default_catalogue(["white"], [], unit)
    assert {stick.profile for stick in stock.sticks} == {profile.name for profile in stock.profiles}
    assert default_rules(unit).usual_thickness in {profile.thickness for profile in stock.profiles}
