"""Offers that cannot be are refused with a reason the office can act on."""

from __future__ import annotations

from typing import Any

import pytest

from solver.catalogue import Hardware, Kit, KitHardware, KitMesh, KitSticks, Supplier
from solver.errors import RecordError
from solver.lengths import Ticks, inches
from solver.money import Cents
from tests.builders import catalogue, pack, roll, stick
from tests.solver.purchase.offers import kit

SHORT = KitSticks(length=inches(36), count=4)


def refusal(build: Any, **words: Any) -> str:
    with pytest.raises(RecordError) as caught:
        build(**words)
    return str(caught.value)


@pytest.mark.parametrize("build", [stick, roll, kit])
def test_a_negative_price_is_refused(build: Any) -> None:
    assert refusal(build, name="odd", price=-1) == "odd: a price cannot be negative"


def test_a_pack_of_none_is_refused() -> None:
    assert refusal(lambda: pack(Hardware.CORNER, 0, name="corners")) == "corners: its size must be over 0"


def test_a_kit_without_sticks_is_refused() -> None:
    text = "corner set: a kit holds sticks; list hardware sold without them as packs"
    assert refusal(kit, name="corner set", sticks=()) == text


@pytest.mark.parametrize(
    "contents",
    [
        {"sticks": (KitSticks(length=inches(36), count=0),)},
        {"sticks": (KitSticks(length=Ticks(0), count=4),)},
        {"hardware": (KitHardware(hardware=Hardware.CORNER, amount=0),)},
        {"mesh": KitMesh(mesh="glass", width=inches(36), length=Ticks(0))},
    ],
)
def test_a_kit_with_a_content_of_nothing_is_refused(contents: dict[str, Any]) -> None:
    text = "odd: everything a kit holds has a size and a number over 0"
    assert refusal(kit, name="odd", **contents) == text


def test_a_kit_lists_each_content_once() -> None:
    assert refusal(kit, name="odd", sticks=(SHORT, SHORT)) == "odd: lists one content twice; add the numbers up"


def test_a_kit_is_not_named_like_a_stick() -> None:
    text = "named twice in the stock lists: 8 ft"
    assert refusal(lambda: catalogue(sticks=(stick("8 ft"),), kits=(kit("8 ft"),))) == text


def test_nothing_is_sold_in_a_least_number_that_cannot_be_bought() -> None:
    text = "8 ft: at most 5 can be bought and no fewer than 10 are sold"
    assert refusal(stick, minimum=10, limit=5) == text


def test_a_least_number_of_none_is_refused() -> None:
    assert refusal(stick, minimum=0) == "8 ft: the least number sold is 1 or more"


def test_running_length_has_no_limit() -> None:
    text = "by the foot: running length has no limit; list a part roll with its length instead"
    assert refusal(roll, name="by the foot", length=None, step=inches(12), limit=40) == text


def test_a_delivery_charge_is_never_negative() -> None:
    text = "Screen Supply: a delivery charge cannot be negative"
    assert refusal(Supplier, name="Screen Supply", delivery=Cents(-1)) == text


def test_a_supplier_has_a_name() -> None:
    assert refusal(Supplier, name="") == "a supplier needs a name"


def test_a_supplier_is_listed_once() -> None:
    twice = (Supplier(name="North"), Supplier(name="North"))
    assert refusal(catalogue, suppliers=twice) == "named twice in the stock lists: North"


def test_a_kit_takes_what_a_shop_sells() -> None:
    assert isinstance(kit(), Kit)
