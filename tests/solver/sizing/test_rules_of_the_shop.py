"""Rules and openings that cannot be, and what every rule says of itself."""

from dataclasses import fields
from typing import Any, get_type_hints

import pytest

from solver.errors import RecordError
from solver.lengths import Ticks
from solver.rules import RuleKind, Rules, square_ticks
from tests.builders import opening

KIND_OF_TYPE = {
    Ticks: {RuleKind.LENGTH},
    int: {RuleKind.COUNT, RuleKind.PER_MILLE, RuleKind.YEAR},
    str: {RuleKind.TEXT, RuleKind.AREA},
}


def test_every_rule_says_what_it_is_how_it_is_written_and_what_it_belongs_to() -> None:
    types = get_type_hints(Rules)
    for rule in fields(Rules):
        assert rule.metadata["what"]
        assert rule.metadata["kind"] in KIND_OF_TYPE.get(types[rule.name], {RuleKind.CHOICE})


@pytest.mark.parametrize(
    ("rules", "message"),
    [
        ({"kerf": Ticks(-1)}, "rule kerf is -1; write 0 or more"),
        ({"size_step": Ticks(0)}, "rule size_step is 0; write the shop's tape step, for example 1/16 in or 1 mm"),
        ({"plausible_area": "wide"}, "'wide' is no area; write for example 5.7 sq ft, 820 sq in or 0.33 m2"),
    ],
)
def test_a_rule_no_shop_can_work_by_is_refused(rules: dict[str, Any], message: str) -> None:
    with pytest.raises(RecordError) as caught:
        Rules(**rules)
    assert str(caught.value) == message


def test_areas_are_exact_in_each_unit() -> None:
    assert square_ticks("0.33 m2") == 33 * square_ticks("0.01 m2")
    assert square_ticks("5.7 sq ft") == square_ticks("820.8 sq in")


@pytest.mark.parametrize(
    ("row", "message"),
    [
        ({"label": ""}, "an opening needs a label"),
        ({"quantity": 0}, "A-101: quantity 0; write 1 or more"),
        ({"widths": ()}, "A-101: a width reading must be over 0"),
        ({"heights": (Ticks(0),)}, "A-101: a height reading must be over 0"),
    ],
)
def test_an_opening_that_cannot_be_is_refused(row: dict[str, Any], message: str) -> None:
    with pytest.raises(RecordError) as caught:
        opening(**row)
    assert str(caught.value) == message
