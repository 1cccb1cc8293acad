"""Whatever happens, in whatever order: every revision passes both recounts, and no money is spent twice."""

from __future__ import annotations

import random
from typing import Any

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from solver.catalogue import Hardware
from solver.errors import ProblemError
from solver.events import (
    BlankMissing,
    Cancelled,
    ChangeOrder,
    CrosscutCut,
    DamagedStick,
    Event,
    Miscut,
    NotThere,
    RailCut,
    RailMissing,
    Remeasured,
    RollFlaw,
    ShortDelivery,
    SpoiltBlank,
    StickCut,
)
from solver.lengths import Ticks, inches
from solver.problem import Problem
from solver.revision import Revision
from tests.builders import PROFILE, opening, pack, problem, roll, stick
from tests.solver.revision.chain import after, bought, first


def job(chance: random.Random) -> Problem:
    openings = [
        opening(
            f"A-{number}",
            width=inches(chance.randint(20, 36)),
            height=inches(chance.randint(30, 60)),
            quantity=chance.randint(1, 3),
            colour=chance.choice(["white", "bronze"]),
        )
        for number in range(chance.randint(1, 4))
    ]
    sticks = tuple(
        stick(f"{feet} ft {colour}", inches(12 * feet), 100 * feet, colour=colour)
        for colour in ("white", "bronze")
        for feet in (8, 12)
    )
    rack = stick("rack", inches(70), None, on_sale=False, on_hand=2, leftover=True)
    rolls = (roll(length=inches(240)), roll("72 in", inches(72), 9_000))
    return problem(*openings, sticks=(*sticks, rack), rolls=rolls, packs=(pack(Hardware.CORNER, 25, fits=PROFILE),))


def happens(revision: Revision, chance: random.Random) -> list[Event]:
    events: list[Event] = []
    for group in revision.plan.stick_groups:
        for cut in group.sticks:
            sort: dict[str, Any] = {"profile": group.profile, "colour": group.colour, "number": cut.number}
            match chance.randint(0, 6):
                case 0 | 1:
                    events.append(StickCut(**sort))
                case 2:
                    rail = chance.choice(cut.rails)
                    events.append(RailCut(opening=rail.opening, copy=rail.copy, place=rail.place))
                case 3:
                    rail = chance.choice(cut.rails)
                    short = Ticks(rail.length - chance.randint(1, 20) * 508)
                    events.append(Miscut(opening=rail.opening, copy=rail.copy, place=rail.place, length=short))
                case 4:
                    events.append(DamagedStick(**sort, sound=(inches(5),)[: chance.randint(0, 1)]))
                case 5:
                    rail = chance.choice(cut.rails)
                    events.append(RailMissing(opening=rail.opening, copy=rail.copy, place=rail.place))
    for mesh in revision.plan.roll_groups:
        for roll_cut in mesh.rolls:
            if chance.random() < 0.2:
                start, length = Ticks(chance.randint(0, 600_000)), Ticks(chance.randint(1, 50_000))
                events.append(RollFlaw(mesh=mesh.mesh, number=roll_cut.number, starts_at=start, length=length))
            for crosscut in roll_cut.crosscuts:
                if chance.random() < 0.4:
                    events.append(CrosscutCut(mesh=mesh.mesh, number=crosscut.number))
                elif chance.random() < 0.2:
                    blank = crosscut.strips[0].blanks[0]
                    events.append(
                        SpoiltBlank(opening=blank.opening, copy=blank.copy, across=inches(9), along=inches(9))
                    )
    if revision.problem.pinned_blanks and chance.random() < 0.3:
        lost = chance.choice(revision.problem.pinned_blanks)
        events.append(BlankMissing(opening=lost.opening, copy=lost.copy))
    if any(each.name == "rack" and each.on_hand for each in revision.problem.catalogue.sticks):
        used = [s.stock for group in revision.plan.stick_groups for s in group.sticks]
        if "rack" not in used and chance.random() < 0.5:
            events.append(NotThere(stock="rack"))
    labels = [each.label for each in revision.problem.openings]
    label = chance.choice(labels)
    match chance.randint(0, 5):
        case 0:
            events.append(ChangeOrder(opening=label, quantity=chance.randint(1, 4)))
        case 1:
            events.append(ChangeOrder(opening=label, colour=chance.choice(["white", "bronze"])))
        case 2:
            size = (inches(chance.randint(20, 36)),), (inches(chance.randint(30, 60)),)
            events.append(Remeasured(opening=label, widths=size[0], heights=size[1]))
        case 3 if len(labels) > 1:
            events.append(Cancelled(opening=label))
    return events


@settings(max_examples=25, deadline=None)
@given(st.integers(0, 10_000))
def test_every_revision_of_a_chain_passes_both_recounts(seed: int) -> None:
    chance = random.Random(seed)
    revision = first(job(chance), work=400)
    for _ in range(3):
        revision = after(revision, *happens(revision, chance), work=400)


@settings(max_examples=10, deadline=None)
@given(st.integers(0, 10_000))
def test_cuts_as_planned_never_cost_money(seed: int) -> None:
    chance = random.Random(seed)
    revision = first(job(chance), work=400)
    for _ in range(2):
        cuts = [event for event in happens(revision, chance) if isinstance(event, StickCut | RailCut | CrosscutCut)]
        revision = after(revision, *cuts, work=400)
        assert bought(revision.plan) == {}
        assert revision.difference is not None
        assert revision.difference.changes == 0


@settings(max_examples=10, deadline=None)
@given(st.integers(0, 10_000))
def test_a_short_delivery_is_all_that_is_bought_again(seed: int) -> None:
    chance = random.Random(seed)
    before = first(job(chance), work=400)
    sticks = [line for line in before.plan.purchases if line.what.startswith("stick ") and line.buy]
    assume(sticks)  # a small job may be cut from the rack alone
    line = sticks[0]
    try:
        now = after(before, ShortDelivery(stock=line.stock, missing=line.buy), work=400)
    except ProblemError:
        raise AssertionError("what was bought once can be bought again") from None
    assert now.plan.total is not None
    assert line.cost is not None
    assert now.plan.total <= line.cost


@settings(max_examples=15, deadline=None)
@given(st.integers(0, 10_000))
def test_a_dearer_change_means_no_more_changes_and_no_less_money(seed: int) -> None:
    chance = random.Random(seed)
    before = first(job(chance), work=400)
    events = happens(before, chance)
    changes, money = [], []
    for price in (0, 200, 100_000):
        now = after(before, *events, price_of_change=price, work=400)
        assert now.difference is not None
        changes.append(now.difference.changes)
        money.append(now.plan.total or 0)
    assert changes == sorted(changes, reverse=True)
    assert money == sorted(money)
