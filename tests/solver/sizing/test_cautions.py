"""Cautions where the row calls for them: trade facts, section 3; figures are rules, the local authority decides."""

from fractions import Fraction
from typing import Any

import pytest

from solver.catalogue import Mesh
from solver.errors import RecordError
from solver.lengths import Ticks, inches, mm
from solver.openings import Datum, Mounting, Opening
from solver.plan import Kind
from solver.rules import Rules
from solver.sizing import sized
from solver.sizing.cautions.cloth import openness
from solver.sizing.cautions.escape import shortfalls
from tests.builders import MESH, opening, problem
from tests.solver.sizing.row_notices import row_cautions, row_notices


def topics(row: Opening) -> list[str]:
    return [notice.topic for notice in row_cautions(problem(row))]


def escape(width: Ticks, height: Ticks, rules: Rules | None = None, **row: Any) -> tuple[str, ...]:
    return shortfalls(opening(width=width, height=height, **row), rules or Rules())


def test_every_job_says_that_a_screen_does_not_stop_a_child_from_falling() -> None:
    notices = [notice for notice in sized(problem()).notices if not notice.openings]
    assert notices[0].kind is Kind.CAUTION
    assert notices[0].message.startswith("An insect screen does not stop a child from falling.")
    assert {"fall", "cutting", "fitting"} <= {notice.topic for notice in notices}


@pytest.mark.parametrize(
    ("width", "height", "short"),
    [
        (inches(20), inches(24), ("area",)),  # 3.333 sq ft
        (inches(20), inches(41), ("area",)),  # 5.694 sq ft
        (inches(20), inches(41, 1, 8), ()),  # 5.712 sq ft
        (inches(34, 1, 4), inches(24), ()),  # 5.708 sq ft
        (inches(19, 15, 16), inches(60), ("width",)),
        (inches(60), inches(23, 15, 16), ("height",)),
    ],
)
def test_escape_sizes_by_the_arithmetic_of_irc_r310(width: Ticks, height: Ticks, short: tuple[str, ...]) -> None:
    # [S] IRC R310; [D] check value 10.
    assert escape(width, height) == short


def test_an_escape_sill_may_be_44_inches_high() -> None:
    assert escape(inches(30), inches(40), sill_height=inches(44)) == ()
    assert escape(inches(30), inches(40), sill_height=inches(44, 1, 16)) == ("sill",)


def test_at_grade_five_square_feet_are_enough() -> None:
    assert escape(inches(20), inches(36), drop_outside=inches(30)) == ()
    assert escape(inches(20), inches(36)) == ("area",)


def test_figures_of_another_place_are_settings() -> None:
    # [S] Approved Document B: 0.33 m2, 450 mm both ways, sill at most 1,100 mm.
    england = Rules(
        escape_area="0.33 m2", escape_width=mm(450), escape_height=mm(450), escape_sill=mm(1_100), edition="ADB 2019"
    )
    assert escape(mm(450), mm(734), england) == ()
    assert escape(mm(450), mm(733), england) == ("area",)
    made = sized(problem(opening(width=mm(450), height=mm(733), escape=True), rules=england))
    assert made.screens[0].arithmetic[-1] == (
        "escape opening as read: ~17 23/32 (450 mm) x ~28 55/64 (733 mm) = 0.330 m2; figures set: at least 0.33 m2, "
        "~17 23/32 (450 mm) wide, ~17 23/32 (450 mm) high, sill at most ~43 5/16 (1100 mm)"
    )
    assert "(set for this job: ADB 2019)" in made.notices[-1].message or any(
        "ADB 2019" in notice.message for notice in made.notices
    )


def test_an_area_no_shop_could_mean_is_refused() -> None:
    with pytest.raises(RecordError, match=r"'5\.7' is no area; write for example 5\.7 sq ft"):
        Rules(escape_area="5.7")


def test_escape_openings_are_named_and_their_arithmetic_stands_with_the_sizes() -> None:
    small = opening("B", width=inches(20), height=inches(41), escape=True)
    made = sized(problem(opening("A", escape=True), small, opening("C")))
    named = {notice.topic: notice.openings for notice in made.notices if notice.openings}
    assert named == {"escape": ("A", "B"), "escape size": ("B",)}
    assert made.screens[1].arithmetic[-1] == (
        "escape opening as read: 20 x 41 = 5.694 sq ft; figures set: at least 5.7 sq ft, 20 wide, 24 high, "
        "sill at most 44"
    )
    assert not any(line.startswith("escape") for line in made.screens[2].arithmetic)


def test_a_screen_over_an_escape_opening_must_let_go_from_inside() -> None:
    assert "escape release" in topics(opening(escape=True, mounting=Mounting.CLIPS))
    assert "escape release" not in topics(opening(escape=True, mounting=Mounting.MAGNETS))


@pytest.mark.parametrize(
    ("sill", "drop", "said"),
    [
        (inches(23), inches(73), True),
        (inches(24), inches(73), False),
        (inches(23), inches(72), False),
        (inches(23), None, True),
        (None, inches(73), True),
        (None, None, False),
    ],
)
def test_a_low_sill_over_a_drop_calls_for_a_caution(sill: Ticks | None, drop: Ticks | None, said: bool) -> None:
    # [S] IRC R312.2: sill under 24 in, more than 72 in above grade.
    assert topics(opening(sill_height=sill, drop_outside=drop)) == ["fall"] * said


def test_the_ibc_figure_is_a_setting() -> None:
    rules = Rules(fall_sill=inches(36))
    assert topics(opening(sill_height=inches(30), drop_outside=inches(100))) == []
    assert topics(opening(sill_height=inches(30), drop_outside=inches(100), rules=rules)) == ["fall"]


@pytest.mark.parametrize(("year", "said"), [(1977, ["lead", "asbestos"]), (1978, ["asbestos"]), (1990, [])])
def test_old_houses_may_hold_lead_and_asbestos(year: int, said: list[str]) -> None:
    # [S] 40 CFR 745: before 1978. Asbestos year: common practice, no source.
    assert topics(opening(built_year=year)) == said


def test_without_any_building_year_the_job_is_told_so_once() -> None:
    assert "old house" in {notice.topic for notice in sized(problem()).notices}
    assert "old house" not in {notice.topic for notice in sized(problem(opening(built_year=2001))).notices}


def test_screens_fitted_from_outside_call_for_the_ladder_caution() -> None:
    assert topics(opening(width_datum=Datum.FACE, height_datum=Datum.FACE, height=inches(40))) == ["ladder"]
    assert topics(opening(mounting=Mounting.CLIPS)) == ["ladder"]
    assert topics(opening()) == []


def test_a_wildfire_zone_defers_to_the_local_authority() -> None:
    rules = Rules(wildfire_zone="very high", jurisdiction="the county")
    (notice,) = [each for each in sized(problem(rules=rules)).notices if each.topic == "wildfire"]
    assert "window cloth is no ember mesh" in notice.message
    assert notice.message.endswith("(set for this job: the county): ask the local authority.")


def test_mesh_coarser_than_sixteen_is_said() -> None:
    # [S] 29 CFR 1910.142(b)(8), 20 CFR 654.408.
    coarse = (Mesh(name=MESH, count_across=18, count_along=14),)
    assert [notice.topic for notice in row_notices(problem(meshes=coarse))] == ["mesh count"]


@pytest.mark.parametrize(
    ("across", "along", "thousandths", "share", "apertures"),
    [
        (18, 16, 11, "66.085", ("1.132", "1.308")),
        (18, 16, 13, "60.667", ("1.081", "1.257")),
        (18, 14, 11, "67.849", ("1.132", "1.535")),
        (18, 14, 13, "62.659", ("1.081", "1.484")),
        (16, 16, 11, "67.898", ("1.308", "1.308")),
        (20, 20, 13, "54.760", ("0.940", "0.940")),
        (18, 18, 9, "70.224", ("1.183", "1.183")),
    ],
)
def test_open_area_by_the_formula_of_astm_e2016(
    across: int, along: int, thousandths: int, share: str, apertures: tuple[str, str]
) -> None:
    # [D] trade facts, section 2.
    mesh = Mesh(name="m", count_across=across, count_along=along, thread_inches=Fraction(thousandths, 1000))
    found = openness(mesh)
    assert found is not None
    assert f"{float(found.share * 100):.3f}" == share
    assert tuple(f"{float(side) * 25.4:.3f}" for side in (found.aperture_across, found.aperture_along)) == apertures


def test_a_mesh_of_unknown_thread_claims_no_open_area() -> None:
    assert openness(Mesh(name="m", count_across=18, count_along=16)) is None


def test_open_area_claims_no_conformance_and_promises_nothing() -> None:
    glass = (Mesh(name=MESH, count_across=18, count_along=16, thread_inches=Fraction(11, 1000)),)
    (notice,) = [each for each in sized(problem(meshes=glass)).notices if each.topic == "open area"]
    assert notice.message == (
        "Mesh glass 18x16: about 66 % open, apertures about 1.13 x 1.31 mm, by the rectangular-mesh formula; "
        "no conformance to a standard is claimed and no insect is promised to stay out."
    )


def test_no_message_passes_a_verdict() -> None:
    row = opening(
        escape=True, sill_height=inches(10), drop_outside=inches(200), built_year=1950, mounting=Mounting.CLIPS
    )
    for notice in sized(problem(row)).notices:
        assert not any(word in notice.message.casefold() for word in ("complies", "compliant", "legal", "violat"))
