"""Does it go in and stay square: channel depth, slot, size and diagonals."""

from typing import Any

import pytest

from solver.catalogue import Mesh
from solver.lengths import Ticks, inches
from solver.openings import Datum, Mounting, Opening, Side
from solver.plan import Kind, Notice
from solver.rules import Rules
from tests.builders import MESH, opening, problem, profile, roll, stick
from tests.solver.sizing.row_notices import row_notices


def notices(*rows: Opening, **stock: Any) -> tuple[Notice, ...]:
    long: dict[str, Any] = {"sticks": (stick(length=inches(144)),), "rolls": (roll(width=inches(96)),)}
    return row_notices(problem(*rows, **(long | stock)))


def lips(depth: Ticks | None, mounting: Mounting = Mounting.SPRINGS, **row: Any) -> Opening:
    wide: dict[str, Any] = {"width": inches(27, 1, 2), "width_datum": Datum.CHANNEL_LIPS, "deepest_side": Side.LEFT}
    return opening(channel_depth=depth, mounting=mounting, **(wide | row))


def test_the_deep_channel_takes_both_overlaps() -> None:
    # Clear width 27 1/2 + 2 x 1/8: deep channel at least 1/4 ([D], check value 2).
    assert notices(lips(inches(0, 1, 4))) == ()
    (notice,) = notices(lips(inches(0, 15, 64)))
    assert (notice.kind, notice.topic) == (Kind.REVIEW, "insertion")
    assert "is 15/64 deep and lifting the screen in takes 1/4" in notice.message


def test_a_leaf_spring_takes_a_sixteenth_more() -> None:
    assert notices(lips(inches(0, 5, 16), Mounting.LEAVES)) == ()
    (notice,) = notices(lips(inches(0, 1, 4), Mounting.LEAVES))
    assert "takes 5/16 (both overlaps, 1/4 + 1/16 leaf spring)" in notice.message


def test_a_depth_not_measured_is_said_and_stops_nothing() -> None:
    (notice,) = notices(lips(None))
    assert notice.kind is Kind.NOTICE


def test_only_the_axis_of_the_deepest_channel_matters() -> None:
    assert notices(lips(inches(0, 1, 8), deepest_side=Side.TOP)) == ()


def test_screens_held_by_clips_are_not_lifted_in() -> None:
    assert notices(lips(inches(0, 1, 8), Mounting.CLIPS)) == ()


def test_a_leaf_spring_needs_room_in_a_lift_in_reading() -> None:
    row: dict[str, Any] = {"height_datum": Datum.DEEP_CHANNEL, "mounting": Mounting.LEAVES}
    assert notices(opening(**row)) == ()
    (notice,) = notices(opening(rules=Rules(deep_clearance=Ticks(0)), **row))
    assert notice.topic == "insertion"


def test_a_named_profile_too_thick_for_its_slot_calls_for_a_review() -> None:
    (notice,) = notices(opening(slot_width=inches(0, 5, 16)))
    assert (notice.kind, notice.topic) == (Kind.REVIEW, "slot")
    assert notices(opening(slot_width=inches(0, 11, 32))) == ()


@pytest.mark.parametrize(
    ("width", "height", "over"), [(48, 60, False), (60, 48, False), (49, 60, True), (48, 61, True)]
)
def test_the_review_size_of_a_profile_holds_either_way_round(width: int, height: int, over: bool) -> None:
    row = opening(width=inches(width), height=inches(height), width_datum=Datum.FINISHED, height_datum=Datum.FINISHED)
    limited = profile(review_short=inches(48), review_long=inches(60))
    assert [notice.topic for notice in notices(row, profiles=(limited,))] == ["size"] * over


@pytest.mark.parametrize(
    ("difference", "kinds"),
    [(inches(0, 7, 64), []), (inches(0, 1, 8), [Kind.NOTICE]), (inches(0, 1, 4), [Kind.REVIEW])],
)
def test_diagonals_are_said_from_an_eighth_and_reviewed_from_a_quarter(difference: Ticks, kinds: list[Kind]) -> None:
    row = opening(diagonals=(inches(60), Ticks(inches(60) + difference)))
    assert [notice.kind for notice in notices(row)] == kinds


def test_heavy_mesh_without_a_bar_may_bow_the_rails() -> None:
    heavy: dict[str, Any] = {"meshes": (Mesh(name=MESH, heavy=True),)}
    assert [notice.topic for notice in notices(opening(), **heavy)] == ["bow"]
    assert notices(opening(height=inches(60)), **heavy) == ()


def test_one_notice_names_every_opening_it_holds_for() -> None:
    rows = [opening(f"W{number}", slot_width=inches(0, 5, 16), width=inches(30 + number)) for number in range(3)]
    (notice,) = notices(*rows)
    assert notice.openings == ("W0", "W1", "W2")


def test_the_gravest_notice_comes_first() -> None:
    rows = (opening("A", diagonals=(inches(60), inches(60, 1, 8))), opening("B", slot_width=inches(0, 5, 16)))
    assert [notice.kind for notice in notices(*rows)] == [Kind.REVIEW, Kind.NOTICE]


def test_springs_have_no_channel_on_a_face() -> None:
    row = opening(width=inches(30), height=inches(40), width_datum=Datum.FACE, height_datum=Datum.FACE)
    assert [notice.topic for notice in notices(row)] == ["mounting"]


def test_a_deep_channel_at_the_side_is_the_deepest_side() -> None:
    row: dict[str, Any] = {"width_datum": Datum.DEEP_CHANNEL, "width": inches(30)}
    assert [notice.topic for notice in notices(opening(**row))] == ["deepest side"]
    assert notices(opening(deepest_side=Side.LEFT, **row)) == ()
