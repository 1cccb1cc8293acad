"""Drawings are to scale: shares of a stick, boxes on a roll, rails of a frame."""

from __future__ import annotations

from dataclasses import replace

import pytest

from service.documents.lookup.records import BlankSpot, CrosscutRun, OpeningRow, OpeningSizes, StickRun
from service.web.crosscut_drawing import WIDTH, crosscut_drawing, order_of_cutting
from service.web.frame_drawing import frame_drawing
from service.web.stick_drawing import Room, Stretch, stick_drawing
from solver.lengths import Ticks, Unit, inches, mm


def stick_run(*rails: Ticks, kept: bool = False) -> StickRun:
    """A 96 in stick, trim 1/4, kerf 1/8."""
    used = inches(0, 1, 4) + sum(rails) + len(rails) * inches(0, 1, 8)
    return StickRun(
        number=1,
        group=0,
        first=1,
        count=1,
        stock="8 ft",
        length=inches(96),
        start_trim=inches(0, 1, 4),
        kerf=inches(0, 1, 8),
        rails=rails,
        offcut=Ticks(inches(96) - used),
        kept=kept,
        bought=True,
        from_kit=False,
    )


def test_a_stick_half_as_long_fills_half_the_width() -> None:
    drawing = stick_drawing(stick_run(inches(24)), Unit.INCH, inches(192))
    (rail,) = [segment for segment in drawing.segments if segment.stretch is Stretch.RAIL]
    assert rail.width == "12.500"


def test_rails_start_behind_the_trim_and_a_kerf_apart() -> None:
    drawing = stick_drawing(stick_run(inches(31, 1, 8), inches(31, 1, 8)), Unit.INCH, inches(96))
    first, second = (segment for segment in drawing.segments if segment.stretch is Stretch.RAIL)
    assert float(first.start) == pytest.approx(100 * 0.25 / 96, abs=0.001)
    assert float(second.start) == pytest.approx(100 * (0.25 + 31.125 + 0.125) / 96, abs=0.001)


def test_the_rest_reaches_to_the_end_of_the_stick() -> None:
    last = stick_drawing(stick_run(inches(40)), Unit.INCH, inches(96)).segments[-1]
    assert float(last.start) + float(last.width) == pytest.approx(100, abs=0.002)
    assert last.stretch is Stretch.SCRAP


def test_what_is_kept_is_drawn_and_said_as_kept() -> None:
    drawing = stick_drawing(stick_run(inches(40), kept=True), Unit.INCH, inches(96))
    assert drawing.segments[-1].stretch is Stretch.KEPT
    assert drawing.title.endswith("then 55 5/8 in kept")


def test_a_number_that_does_not_fit_is_left_out_not_cut_off() -> None:
    drawing = stick_drawing(stick_run(inches(60), inches(5), inches(1)), Unit.INCH, inches(96))
    rails = [segment.room for segment in drawing.segments if segment.stretch is Stretch.RAIL]
    assert rails == [Room.LENGTH, Room.NUMBER, Room.NONE]


def test_a_metric_job_is_drawn_in_millimetres() -> None:
    drawing = stick_drawing(replace(stick_run(mm("809.5")), length=mm(2_400)), Unit.MM, mm(2_400))
    assert "2400 mm long, to scale: 809.5, then" in drawing.title


def crosscut(*spots: BlankSpot) -> CrosscutRun:
    """A crosscut of a roll 50 in wide."""
    return CrosscutRun(
        number=1,
        group=1,
        roll=1,
        first=1,
        count=3,
        stock="roll",
        roll_width=inches(50),
        starts_at=inches(0),
        length=inches(50),
        bought=True,
        strips=tuple((spot.from_side, spot.across) for spot in spots),
        blanks=spots,
    )


def spot(across: Ticks, along: Ticks) -> BlankSpot:
    return BlankSpot(from_side=inches(0, 1, 4), from_start=inches(0), across=across, along=along, turned=False)


def test_a_crosscut_keeps_the_proportions_of_the_cloth() -> None:
    drawing = crosscut_drawing(crosscut(spot(inches(20), inches(40))), Unit.INCH)
    (box,) = drawing.boxes
    assert drawing.height == WIDTH
    assert box.height == 2 * box.width
    assert box.x == WIDTH / 200


def test_a_size_that_does_not_fit_is_broken_into_lines_then_left_out() -> None:
    spots = (spot(inches(30, 1, 16), inches(40)), spot(inches(9, 1, 16), inches(40)), spot(inches(3), inches(40)))
    drawing = crosscut_drawing(crosscut(*spots, spot(inches(1), inches(1))), Unit.INCH)
    lines = [box.lines for box in drawing.boxes]
    assert lines == [("1", "30 1/16 x 40"), ("2", "9 1/16", "x 40"), ("3",), ()]


def test_the_order_at_the_table_is_crosscut_rip_trim() -> None:
    run = crosscut(spot(inches(20), inches(40)), spot(inches(18), inches(40)))
    assert order_of_cutting(run, Unit.INCH) == "Cut off 50 in, rip 20, 18 in wide, then trim each strip to its blanks."


def opening(
    width: Ticks, height: Ticks, *, bars: tuple[Ticks, ...] = (), side: str = "top", **other: bool
) -> OpeningSizes:
    row = OpeningRow(
        number=1,
        label="A",
        quantity=1,
        where="",
        order="",
        phase="",
        frame_width=width,
        frame_height=height,
        profile="5/16",
        colour="white",
        mesh="glass",
    )
    return OpeningSizes(
        row=row,
        note="",
        width_readings=(),
        height_readings=(),
        mounting="tension springs",
        deepest_side=side,
        escape=False,
        face=inches(0, 3, 4),
        mitred=other.get("mitred", False),
        rails=tuple(("cross bar", bar) for bar in bars),
        blank_width=width,
        blank_height=height,
        hardware=("3 tension springs, left side, the deepest channel", "2 pull tabs, right side", "1 label"),
        arithmetic=(),
    )


def test_a_frame_keeps_its_proportions() -> None:
    drawing = frame_drawing(opening(inches(20), inches(40)), Unit.INCH)
    assert drawing.outside.height == 2 * drawing.outside.width


def test_springs_are_drawn_on_the_deepest_side_and_tabs_opposite() -> None:
    drawing = frame_drawing(opening(inches(30), inches(40), side="left"), Unit.INCH)
    assert len(drawing.springs) == 3
    assert len(drawing.tabs) == 2
    assert all(x < drawing.inside.x for x, _ in drawing.springs)
    assert all(x > drawing.inside.x + drawing.inside.width for x, _ in drawing.tabs)
    assert drawing.title.endswith("springs at the left, pull tabs at the right")


def test_a_level_bar_spans_the_width_and_an_upright_one_the_height() -> None:
    level = frame_drawing(opening(inches(30), inches(60), bars=(inches(28, 1, 2),)), Unit.INCH)
    upright = frame_drawing(opening(inches(30), inches(60), bars=(inches(58, 1, 2),)), Unit.INCH)
    assert level.bars[0].width == level.inside.width
    assert upright.bars[0].height == upright.inside.height


def test_mitred_corners_are_drawn_across_and_square_ones_along() -> None:
    mitred = frame_drawing(opening(inches(30), inches(40), mitred=True), Unit.INCH)
    square = frame_drawing(opening(inches(30), inches(40)), Unit.INCH)
    assert len(mitred.joints) == 4
    assert all(x1 != x2 and y1 != y2 for x1, y1, x2, y2 in mitred.joints)
    assert all(x1 == x2 or y1 == y2 for x1, y1, x2, y2 in square.joints)
