"""What holds for any opening: inch and metric agree, order does not matter, no frame outgrows its hole."""

from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from solver.lengths import Ticks, Unit, inches
from solver.openings import Datum, Mounting, Opening, Side
from solver.plan import Place, Screen
from solver.problem import Problem
from solver.rules import Rules
from solver.sizing import Sizing, sized
from tests.builders import opening, problem, roll, stick

lengths = st.integers(min_value=10 * 64, max_value=140 * 64).map(lambda count: inches(0, count, 64))
readings = lengths.flatmap(
    lambda first: st.lists(st.integers(0, 16), max_size=2).map(
        lambda more: (first, *(Ticks(first + step * 127) for step in more))
    )
)
same = st.sampled_from([Datum.CHANNEL_BOTTOMS, Datum.CHANNEL_LIPS, Datum.DEEP_CHANNEL, Datum.FACE, Datum.STOPS])


@st.composite
def rows(draw: st.DrawFn, label: str = "A") -> Opening:
    return opening(
        label,
        widths=draw(readings),
        heights=draw(readings),
        width_datum=draw(same),
        height_datum=draw(same),
        mounting=draw(st.sampled_from(Mounting)),
        deepest_side=draw(st.sampled_from(Side)),
        quantity=draw(st.integers(1, 9)),
    )


def job(*openings: Opening, **other: Any) -> Problem:
    return problem(*openings, sticks=(stick(length=inches(300)),), rolls=(roll(width=inches(160)),), **other)


def size(sizing: Sizing) -> list[Screen]:
    return sorted(sizing.screens, key=lambda screen: screen.opening)


@settings(max_examples=60, deadline=None)
@given(row=rows())
def test_an_inch_job_and_a_metric_job_cut_the_same_pieces(row: Opening) -> None:
    inch, metric = sized(job(row, unit=Unit.INCH)).screens[0], sized(job(row, unit=Unit.MM)).screens[0]
    assert (inch.rails, inch.blank_width, inch.blank_height, inch.needs) == (
        metric.rails,
        metric.blank_width,
        metric.blank_height,
        metric.needs,
    )


@settings(max_examples=40, deadline=None)
@given(first=rows("A"), second=rows("B"), third=rows("C"))
def test_the_order_of_the_rows_changes_no_screen(first: Opening, second: Opening, third: Opening) -> None:
    assert size(sized(job(first, second, third))) == size(sized(job(third, first, second)))


@settings(max_examples=60, deadline=None)
@given(row=rows())
def test_a_frame_fits_its_smallest_reading_and_covers_its_largest(row: Opening) -> None:
    made = sized(job(row)).screens[0]
    rules = Rules()
    sides = ((row.widths, row.width_datum, made.frame_width), (row.heights, row.height_datum, made.frame_height))
    for taken, datum, frame in sides:
        assert frame % rules.size_step == 0
        if datum is Datum.FACE:
            assert frame >= max(taken) + 2 * rules.face_overlap
        elif datum is Datum.CHANNEL_LIPS:
            assert min(taken) < frame <= min(taken) + 2 * rules.lip_overlap
        else:
            assert min(taken) - inches(0, 3, 16) < frame <= min(taken) - inches(0, 1, 8)


@settings(max_examples=60, deadline=None)
@given(row=rows())
def test_opposite_rails_are_equal_and_every_bar_spans_between_faces(row: Opening) -> None:
    made = sized(job(row)).screens[0]
    by_place = {rail.place: rail.length for rail in made.rails}
    assert by_place[Place.TOP] == by_place[Place.BOTTOM]
    assert by_place[Place.LEFT] == by_place[Place.RIGHT]
    if Place.BAR in by_place:
        face = inches(0, 3, 4)
        assert by_place[Place.BAR] == min(made.frame_width, made.frame_height) - 2 * face


@settings(max_examples=40, deadline=None)
@given(row=rows(), clearance=st.integers(0, 16).map(lambda count: inches(0, count, 64)))
def test_a_rule_of_the_row_does_what_the_rule_of_the_job_does(row: Opening, clearance: Ticks) -> None:
    own = Rules(bottoms_clearance=clearance)
    by_row = opening(**{name: getattr(row, name) for name in row.__dataclass_fields__} | {"rules": own})
    assert sized(job(by_row)).screens == sized(job(row, rules=own)).screens
