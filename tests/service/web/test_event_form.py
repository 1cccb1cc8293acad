"""What the shop floor's form says, as events."""

from __future__ import annotations

import json

import pytest

from service.web.event_form import EventFormError, noted, numbers_of, shown


def test_several_things_filled_in_are_several_events() -> None:
    form = {
        "cut.numbers.rails 5/16 white": "1-2, 5",
        "cut.numbers.mesh glass 18x16": "3",
        "cut.codes": "0F587F3D-12.1.L\n\n7.2.T",
        "miscut.code": "A-1 left",
        "miscut.length": "40",
        "cancelled.opening": "A-2\nA-3",
    }
    assert [
        (event["event"], event.get("number", event.get("code", event.get("opening")))) for event in noted(form, ())
    ] == [
        ("stick cut", "1"),
        ("stick cut", "2"),
        ("stick cut", "5"),
        ("crosscut cut", "3"),
        ("rail cut", "0F587F3D-12.1.L"),
        ("rail cut", "7.2.T"),
        ("miscut", "A-1 left"),
        ("cancelled", "A-2"),
        ("cancelled", "A-3"),
    ]


def test_what_was_noted_before_is_carried_on_and_may_be_dropped() -> None:
    carried = [json.dumps({"event": "everything cut"}), json.dumps({"event": "cancelled", "opening": "A-1"})]
    assert noted({}, carried) == [{"event": "everything cut"}, {"event": "cancelled", "opening": "A-1"}]
    assert noted({"drop": "0"}, carried) == [{"event": "cancelled", "opening": "A-1"}]


def test_a_half_filled_row_is_asked_about() -> None:
    with pytest.raises(EventFormError, match="miscut: length missing"):
        noted({"miscut.code": "A-1 left"}, ())
    with pytest.raises(EventFormError, match="missing part: opening and part missing"):
        noted({"missing part.quantity": "2"}, ())


def test_a_choice_alone_says_nothing() -> None:
    assert noted({"damaged stick.group": "rails 5/16 white", "missing part.part": "corner"}, ()) == []


def test_spline_is_missing_by_length_and_corners_by_count() -> None:
    corners = {"missing part.opening": "A-1", "missing part.part": "corner", "missing part.quantity": "2"}
    spline = {"missing part.opening": "A-1", "missing part.part": "spline", "missing part.quantity": "12 ft"}
    assert noted(corners, ())[0]["quantity"] == "2"
    assert noted(spline, ())[0]["length"] == "12 ft"


@pytest.mark.parametrize("text", ["", "x", "4-2", "1-99999", "1,,2"])
def test_numbers_that_make_no_sense_are_named(text: str) -> None:
    with pytest.raises(EventFormError, match="numbers"):
        numbers_of(text)


def test_an_event_is_shown_in_words() -> None:
    assert [words for words, _ in shown([{"event": "stick cut", "group": "rails 5/16 white", "number": "3"}])] == [
        "stick cut: rails 5/16 white, number 3"
    ]
