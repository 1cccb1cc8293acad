"""Colour, mesh and profile: as named if stocked, or as the slot asks for (common practice, no source)."""

from typing import Any

import pytest

from solver.catalogue import Mesh, Profile, StickStock
from solver.errors import ProblemError
from solver.lengths import Ticks, inches
from solver.openings import Mounting, Opening
from solver.plan import Kind
from solver.problem import Problem
from solver.sizing import sized
from tests.builders import opening, problem, profile, roll, stick
from tests.solver.sizing.row_notices import row_notices

SIXTEENTHS = {"1/4": 4, "5/16": 5, "3/8": 6, "7/16": 7}
PROFILES = tuple(profile(name=name, thickness=inches(0, size, 16)) for name, size in SIXTEENTHS.items())


def stocked(*profiles: Profile) -> tuple[StickStock, ...]:
    return tuple(stick(each.name, profile=each.name) for each in profiles)


def choose(**row: Any) -> Problem:
    return problem(opening(**({"profile": None} | row)), profiles=PROFILES, sticks=stocked(*PROFILES))


def profile_for(slot: Ticks) -> str:
    return sized(choose(slot_width=slot)).screens[0].profile


def message(job: Problem) -> str:
    with pytest.raises(ProblemError) as caught:
        sized(job)
    return str(caught.value)


@pytest.mark.parametrize(
    ("slot", "chosen"),
    [
        (inches(0, 5, 16), "1/4"),
        (inches(0, 3, 8), "5/16"),
        (inches(0, 7, 16), "3/8"),
        (inches(0, 1, 2), "7/16"),
        (inches(0, 11, 32), "5/16"),
    ],
)
def test_the_thickest_profile_no_thicker_than_slot_minus_play(slot: Ticks, chosen: str) -> None:
    assert profile_for(slot) == chosen


def test_a_slot_of_a_quarter_has_no_profile_and_says_which_slot_would_do() -> None:
    job = choose(slot_width=inches(0, 1, 4), cells=(("slot_width", "openings!F7"),))
    assert message(job) == (
        "openings!F7: A-101: no profile in white fits: slot 1/4 - 1/32 play = 7/32 and the thinnest, 1/4, is 1/4; "
        "a slot of 9/32 or more takes it; measure again, or add a thinner profile with sticks"
    )


def test_only_profiles_with_sticks_in_the_colour_are_chosen() -> None:
    sticks = (*stocked(*PROFILES[:1]), stick("brown", profile="3/8", colour="brown"))
    job = problem(opening(profile=None, slot_width=inches(0, 7, 16)), profiles=PROFILES, sticks=sticks)
    assert sized(job).screens[0].profile == "1/4"


def test_a_stick_sold_out_and_not_on_the_rack_is_no_stick() -> None:
    gone = stick("gone", profile="3/8", limit=0)
    job = problem(
        opening(profile=None, slot_width=inches(0, 7, 16)), profiles=PROFILES, sticks=(*stocked(PROFILES[0]), gone)
    )
    assert sized(job).screens[0].profile == "1/4"


def test_without_slot_and_name_the_usual_profile_is_taken_and_said() -> None:
    assert sized(choose()).screens[0].profile == "5/16"
    (notice,) = row_notices(choose())
    assert (notice.kind, notice.openings) == (Kind.REVIEW, ("A-101",))


def test_a_face_mounted_screen_has_no_slot_to_measure() -> None:
    (notice,) = row_notices(choose(mounting=Mounting.CLIPS))
    assert notice.kind is Kind.NOTICE


def test_without_slot_name_and_usual_profile_the_office_is_asked() -> None:
    job = problem(opening(profile=None), profiles=PROFILES[2:], sticks=stocked(*PROFILES[2:]))
    assert message(job) == (
        "A-101: neither profile nor slot width is given and the usual 5/16 profile does not come in white; "
        "write the slot width, or one of 3/8, 7/16"
    )


def test_a_profile_nobody_knows_is_answered_with_those_known() -> None:
    job = choose(profile="9/16")
    assert message(job) == (
        "A-101: profile 9/16 is not known; write one of 1/4, 5/16, 3/8, 7/16, or leave it to the slot width"
    )


def test_a_profile_that_does_not_come_in_the_colour() -> None:
    sticks = (*stocked(*PROFILES), stick("brown", profile="3/8", colour="brown"))
    job = problem(opening(profile="5/16", colour="brown"), profiles=PROFILES, sticks=sticks)
    assert message(job) == (
        "A-101: no stick of profile 5/16 comes in brown (it comes in: white); "
        "add one, change the colour, or write one of 3/8"
    )


def test_a_colour_nobody_stocks_is_answered_with_those_stocked() -> None:
    assert message(problem(opening(colour="pink"))) == (
        "A-101: no stick comes in colour pink; write one of white, or add sticks in pink"
    )


def test_the_only_colour_and_mesh_need_no_mention() -> None:
    made = sized(problem(opening(colour="", mesh=""))).screens[0]
    assert (made.colour, made.mesh) == ("white", "glass 18x16")


def test_among_several_colours_none_is_guessed() -> None:
    job = problem(opening(colour=""), sticks=(stick(), stick("brown", colour="brown")))
    assert message(job) == "A-101: no colour is given; write one that sticks come in: white, brown"


def test_upper_and_lower_case_do_not_matter() -> None:
    made = sized(problem(opening(colour="White", mesh="GLASS 18x16"))).screens[0]
    assert (made.colour, made.mesh) == ("white", "glass 18x16")


@pytest.mark.parametrize(
    ("mesh", "text"),
    [
        ("steel", "A-101: mesh steel is not known; write one of glass 18x16, or add it with a roll"),
        ("bronze", "A-101: no roll holds mesh bronze; add a roll, or write one of glass 18x16"),
    ],
)
def test_a_mesh_that_cannot_be_had(mesh: str, text: str) -> None:
    assert message(problem(opening(mesh=mesh), meshes=(Mesh(name="glass 18x16"), Mesh(name="bronze")))) == text


def test_all_faults_of_all_openings_come_at_once_each_by_its_cell() -> None:
    def row(number: int, **fields: Any) -> Opening:
        cells = (("colour", f"openings!H{number}"), ("mesh", f"openings!I{number}"))
        return opening(f"W{number}", source=f"openings!{number}", cells=cells, **fields)

    job = problem(row(2, colour="pink", mesh="steel"), row(3), row(4, profile="9/16"))
    with pytest.raises(ProblemError) as caught:
        sized(job)
    assert [fault.source for fault in caught.value.faults] == ["openings!H2", "openings!I2", "openings!4"]


def test_among_several_meshes_none_is_guessed() -> None:
    meshes = (Mesh(name="glass"), Mesh(name="steel"))
    job = problem(opening(mesh=""), meshes=meshes, rolls=(roll("a", mesh="glass"), roll("b", mesh="steel")))
    assert message(job) == "A-101: no mesh is given; write one that rolls come in: glass, steel"


def test_names_that_differ_in_case_alone_are_told_apart_as_written() -> None:
    sticks = (stick("a", colour="white"), stick("b", colour="White"))
    assert sized(problem(opening(colour="White"), sticks=sticks)).screens[0].colour == "White"
    assert "no stick comes in colour WHITE" in message(problem(opening(colour="WHITE"), sticks=sticks))
