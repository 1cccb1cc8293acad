"""What changed, as an office reads it."""

from __future__ import annotations

from service.revisions.difference_text import difference_json, difference_lines
from solver.catalogue import Hardware
from solver.events import Cancelled, ChangeOrder, DamagedStick, StickCut
from solver.lengths import inches
from solver.money import Cents
from tests.builders import COLOUR, PROFILE, opening, pack, problem, stick
from tests.solver.revision.chain import after, first


def test_spare_spline_is_told_in_the_units_of_the_shop() -> None:
    spool = pack(Hardware.SPLINE, inches(1200), name="spool", fits="0.160")
    job = problem(opening("A-1"), opening("A-2"), packs=(spool,))
    lines = list(difference_lines(after(first(job), Cancelled(opening="A-2"))))
    (spare,) = (line for line in lines if line.endswith("spool"))
    assert spare.split()[1] == "in", spare


def test_a_bundle_to_buy_is_not_told_as_one_stick() -> None:
    sticks = (stick(bundle=10, bundle_price=Cents(6_000)),)
    now = after(first(problem(sticks=sticks)), ChangeOrder(opening="A-101", quantity=6))
    lines = [line.strip() for line in difference_lines(now)]
    assert "1 x 10 pieces of 8 ft" in lines, lines
    assert [line["buy_text"] for line in difference_json(now)["buy"] if line["stock"] == "8 ft"] == ["1 x 10 pieces"]


def test_a_stick_that_is_not_cut_as_printed_any_more_is_struck_by_its_old_number() -> None:
    begun = first(problem(opening("A-1"), opening("A-2")))
    damaged = DamagedStick(profile=PROFILE, colour=COLOUR, number=1)
    now = after(begun, damaged, StickCut(profile=PROFILE, colour=COLOUR, number=2))
    assert now.difference is not None
    assert now.difference.dropped == ((f"{PROFILE} {COLOUR}", 1),)
    assert f"  {PROFILE} {COLOUR}: cut no more as printed no. 1" in list(difference_lines(now))
    unchanged = after(begun)
    assert not any("cut no more" in line for line in difference_lines(unchanged))
