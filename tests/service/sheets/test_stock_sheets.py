"""Stock sheets: profiles, sticks, rolls, packs, kits and leftovers, and what stands in where a sheet is missing."""

from collections.abc import Sequence
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from service.job_settings import JobSettings
from service.planning import fitted
from service.sheets.findings import JobReading
from solver.catalogue import Catalogue, Hardware, KitHardware, KitMesh, KitSticks
from solver.lengths import inches, ticks
from solver.rules import Turning
from tests.service.sheets.sheet_makers import read, serious, workbook

OPENINGS = [("label", "width (in)", "height (in)"), ("K1", "27 5/8", "41 1/2")]
STICKS = ("profile", "colour", "length", "price")


def job(folder: Path, **sheets: Sequence[Sequence[Any]]) -> JobReading:
    return read(workbook(folder, {"openings": OPENINGS, **sheets}))


def catalogue(folder: Path, **sheets: Sequence[Sequence[Any]]) -> Catalogue:
    reading = job(folder, **sheets)
    assert serious(reading) == []
    assert reading.problem is not None
    return reading.problem.catalogue


def test_without_stock_sheets_the_usual_sizes_stand_in_without_prices_and_the_job_says_so(tmp_path: Path) -> None:
    reading = job(tmp_path)
    assert reading.problem is not None
    assert {stick.price for stick in reading.problem.catalogue.sticks} == {None}
    assert "sticks: the usual sizes without prices, as none are listed" in reading.problem.assumed


def test_a_listed_stick_replaces_all_usual_ones(tmp_path: Path) -> None:
    (stick,) = catalogue(tmp_path, sticks=[STICKS, ("5/16", "white", "8 ft", 6.4)]).sticks
    assert (stick.name, stick.length, stick.price) == ("5/16 white, 96 in", inches(96), 640)


def test_leftovers_are_added_to_the_usual_sizes(tmp_path: Path) -> None:
    rows = [("profile", "colour", "mesh", "width", "length", "count"), ("5/16", "white", None, None, "41 3/8", 2),
            (None, None, "glass 18x16", "48", "9 ft", None)]  # fmt: skip
    stock = catalogue(tmp_path, leftovers=rows)
    (stick,) = [each for each in stock.sticks if each.leftover]
    (roll,) = [each for each in stock.rolls if each.leftover]
    assert (stick.length, stick.on_hand, stick.on_sale) == (inches(41, 3, 8), 2, False)
    assert (roll.width, roll.length, roll.on_hand) == (inches(48), ticks(9, "ft"), 1)
    assert len(stock.sticks) > 1


def test_a_stick_without_a_price_among_priced_ones_is_refused_in_its_price_cell(tmp_path: Path) -> None:
    reading = job(tmp_path, sticks=[STICKS, ("5/16", "white", "94", 6.4), ("5/16", "white", "144", None)])
    assert serious(reading) == [
        "sticks!D3 error: 5/16 white, 144 in has no price, others of profile 5/16 in white have one; "
        "write its price, or take all out"
    ]


def test_prices_may_be_missing_for_a_whole_colour(tmp_path: Path) -> None:
    rows = [STICKS, ("5/16", "white", "94", 6.4), ("5/16", "bronze", "144", None)]
    assert [stick.price for stick in catalogue(tmp_path, sticks=rows).sticks] == [640, None]


def test_a_profile_nobody_describes_is_refused(tmp_path: Path) -> None:
    reading = job(tmp_path, sticks=[STICKS, ("9/16", "white", "94", 6.4)])
    assert "profile 9/16 is not described" in serious(reading)[0]


def test_a_mesh_keeps_its_thread_exact(tmp_path: Path) -> None:
    heading = ("mesh", "turning", "threads across", "threads along", "thread diameter")
    rows = [heading, ("glass", "may turn", 18, 16, "0.011 in"), ("wire", "no", 18, 18, "0.254 mm")]
    glass, wire = catalogue(tmp_path, meshes=rows, rolls=[("mesh", "width", "length"), ("glass", 48, "100 ft")]).meshes
    assert (glass.turning, glass.thread_inches) == (Turning.FREE, Fraction(11, 1000))
    assert wire.thread_inches == Fraction(1, 100)


def test_a_roll_is_sold_whole_or_by_a_step(tmp_path: Path) -> None:
    heading = ("mesh", "width", "length", "selling step", "price")
    rolls = catalogue(
        tmp_path, rolls=[heading, ("glass", 48, "100 ft", None, 76), ("glass", 36, None, "1 ft", "0.90")]
    ).rolls
    assert [(each.length, each.step, each.price) for each in rolls] == [
        (inches(1200), None, 7600),
        (None, inches(12), 90),
    ]


def test_a_roll_needs_a_length_or_a_step(tmp_path: Path) -> None:
    reading = job(tmp_path, rolls=[("mesh", "width", "price"), ("glass", 48, 76)])
    assert serious(reading) == ["rolls!2 error: a roll needs its length, or a selling step for running length"]


def test_spline_is_packed_by_length_and_corners_by_number(tmp_path: Path) -> None:
    heading = ("hardware", "pieces", "length", "fits", "price")
    rows = [heading, ("spline", None, "100 ft", "0.160 in", 9.5), ("corners", 25, None, "5/16", "$7.50")]
    spline, corner = catalogue(tmp_path, packs=rows).packs
    assert (spline.hardware, spline.size) == (Hardware.SPLINE, inches(1200))
    assert (corner.hardware, corner.size, corner.fits, corner.price) == (Hardware.CORNER, 25, "5/16", 750)


def test_a_kit_holds_sticks_hardware_and_mesh(tmp_path: Path) -> None:
    heading = ("kit", "profile", "colour", "stick length", "sticks", "stick length 2", "sticks 2", "corners", "spline",
               "spline length", "mesh", "mesh width", "mesh length", "price", "supplier")  # fmt: skip
    row = ("kit A", "5/16", "white", 36, 2, 48, 2, 4, "0.160 in", "14 ft", "glass 18x16", 36, 50, 17.98, "shop")
    stock = catalogue(tmp_path, kits=[heading, row], suppliers=[("supplier", "delivery"), ("shop", 5)])
    (kit,) = stock.kits
    assert kit.sticks == (KitSticks(length=inches(36), count=2), KitSticks(length=inches(48), count=2))
    assert kit.hardware == (
        KitHardware(hardware=Hardware.CORNER, amount=4, fits="5/16"),
        KitHardware(hardware=Hardware.SPLINE, amount=inches(168), fits="0.160 in"),
    )
    assert kit.mesh == KitMesh(mesh="glass 18x16", width=inches(36), length=inches(50))
    assert (kit.price, stock.suppliers[0].delivery) == (1798, 500)


def test_a_name_listed_twice_is_refused_where_it_stands_the_second_time(tmp_path: Path) -> None:
    reading = job(tmp_path, sticks=[STICKS, ("5/16", "white", "94", 6.4), ("5/16", "white", "94", 6.5)])
    assert serious(reading) == [
        "sticks!3 error: 5/16 white, 94 in is listed twice, the first time in sticks row 2; keep one"
    ]


def test_a_missing_heading_of_a_stock_sheet_is_named(tmp_path: Path) -> None:
    reading = job(tmp_path, sticks=[("profile", "colour", "price"), ("5/16", "white", 6.4)])
    assert serious(reading) == ["sticks error: the heading misses: length; the template shows the sheet sticks"]


def test_rules_are_read_by_name_with_their_own_kinds_of_value(tmp_path: Path) -> None:
    rules = [("rule", "value"), ("unit", "in"), ("kerf", "3/32"), ("spline extra", "5 %"), ("pins", 2),
             ("bar axis", "level"), ("currency", "EUR"), ("job name", "block A"),
             ("end trim", None, "not set")]  # fmt: skip
    reading = job(tmp_path, rules=rules)
    assert serious(reading) == []
    problem = reading.problem
    assert problem is not None
    assert (problem.rules.kerf, problem.rules.spline_extra, problem.rules.pins) == (inches(0, 3, 32), 50, 2)
    assert (problem.currency, problem.name, problem.rules.end_trim) == ("EUR", "block A", inches(0, 1, 4))


def test_a_rule_nobody_knows_is_refused_with_the_nearest_one(tmp_path: Path) -> None:
    reading = job(tmp_path, rules=[("rule", "value"), ("kerff", "1/8")])
    assert serious(reading) == ["rules!B2 error: there is no rule kerff; is kerf meant?"]


def test_a_metric_job_starts_with_metric_rules_and_sticks(tmp_path: Path) -> None:
    path = workbook(tmp_path, {"openings": [("label", "width (mm)", "height (mm)"), ("K1", 702, 1054)]})
    problem = read(path).problem
    assert problem is not None
    assert problem.rules.size_step == ticks(1, "mm")
    assert {stick.length for stick in problem.catalogue.sticks} == {ticks(3, "m"), ticks(6, "m")}


KITS = ("kit", "profile", "colour", "stick length", "sticks", "price")


@pytest.mark.parametrize(
    ("sheet", "rows", "said"),
    [
        (
            "sticks",
            [STICKS, ("5/16", "white", "8 ft", -3)],
            "sticks!D2 error: -3: a price cannot be negative; write an amount such as 12.50",
        ),
        (
            "sticks",
            [(*STICKS, "bundle", "bundle price"), ("5/16", "white", "8 ft", 3, 1, 5)],
            "sticks!E2 error: 5/16 white, 96 in: a bundle holds 2 sticks or more, beside a price for one",
        ),
        (
            "sticks",
            [(*STICKS, "most to buy", "least to buy"), ("5/16", "white", "8 ft", 3, 2, 5)],
            "sticks!F2 error: 5/16 white, 96 in: at most 2 can be bought and no fewer than 5 are sold",
        ),
        (
            "packs",
            [("hardware", "pieces", "price"), ("corner", 0, 3)],
            "packs!B2 error: a pack of none: write how many of corner it holds under 'pieces', 1 or more",
        ),
        (
            "kits",
            [KITS, ("set", "5/16", "white", None, None, 12)],
            "kits!D2 error: a kit holds sticks: write their length and how many; "
            "hardware sold without sticks goes into packs",
        ),
        (
            "kits",
            [KITS, ("set", "5/16", "white", "36", 0, 12)],
            "kits!E2 error: set: everything a kit holds has a size and a number over 0",
        ),
    ],
    ids=["negative price", "bundle of one", "least over most", "pack of none", "kit without sticks", "sticks of none"],
)
def test_an_offer_that_cannot_be_is_refused_in_its_cell(
    tmp_path: Path, sheet: str, rows: list[tuple[Any, ...]], said: str
) -> None:
    assert serious(job(tmp_path, **{sheet: rows})) == [said]


def test_a_roll_narrower_than_every_blank_is_said_in_its_cell(tmp_path: Path) -> None:
    rolls = [("name", "mesh", "width", "length"), ("narrow", "glass 18x16", "20", "25 ft"),
             ("wide", "glass 18x16", "48", "25 ft")]  # fmt: skip
    reading, _ = fitted(job(tmp_path, rolls=rolls), JobSettings())
    assert [(each.address, each.message) for each in reading.findings if "narrow" in each.message] == [
        (
            "rolls!C2",
            "narrow is narrower than every blank of glass 18x16, so it is left out; "
            "one 30 wide or more would be of use",
        )
    ]


def test_stock_of_a_profile_that_is_not_listed_is_named_at_its_row(tmp_path: Path) -> None:
    kits = [("kit", "profile", "colour", "stick length", "sticks", "price"), ("kit A", "5/16 x", "white", "48", 4, 15)]
    profiles = [("profile", "thickness", "face"), ("5/16", "5/16", "3/4")]
    sticks = [STICKS, ("5/16", "white", "8 ft", 6.4), ("9/16", "white", "8 ft", 9), ("9/16", "white", "12 ft", 13)]
    reading, _ = fitted(job(tmp_path, kits=kits, profiles=profiles, sticks=sticks), JobSettings())
    told = {finding.cell: finding.message for finding in reading.findings if "is not on the sheet" in finding.message}
    assert len(told) == 2
    messages = sorted(told.values())
    assert messages[0].startswith("5/16 x is not on the sheet profiles, so this is left out: kit A; write the name")
    assert "9/16 white, 96 in, 9/16 white, 144 in" in messages[1]


def test_a_mesh_lies_one_way_on_each_facade_that_the_openings_name(tmp_path: Path) -> None:
    openings = [("label", "width (in)", "height (in)", "mesh", "facade"), ("K1", "27 5/8", "41 1/2", "pet", "north"),
                ("K2", "27 5/8", "41 1/2", "pet", None)]  # fmt: skip
    meshes = [("mesh", "turning"), ("pet", "one way by facade")]
    rolls = [("mesh", "width", "length", "price"), ("pet", "48", "50 ft", 92)]
    reading = job(tmp_path, openings=openings, meshes=meshes, rolls=rolls)
    assert serious(reading) == []
    assert reading.problem is not None
    assert [opening.facade for opening in reading.problem.openings] == ["north", ""]
    assert {mesh.turning for mesh in reading.problem.catalogue.meshes if mesh.name == "pet"} == {Turning.FACADE}
