"""A week of the sample supplier batch, all sixty orders; then two late orders race for what it leaves over."""

from __future__ import annotations

from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from service.leftovers.settlement import settlement
from service.rack.rack import Rack
from solver.check import faults
from solver.events import (
    Cancelled,
    ChangeOrder,
    CrosscutCut,
    EverythingCut,
    Miscut,
    RailMissing,
    Remeasured,
    RollFlaw,
    StickCut,
)
from solver.lengths import Ticks, inches
from solver.pooling import cost_shares, in_cutting_order
from solver.revision import candidates
from tests.season.office import Season, bought_new, only, sample

pytestmark = pytest.mark.slow
ORDERS = [f"S-{number}" for number in range(4101, 4161)]


@pytest.fixture
def season(tmp_path: Path) -> Iterator[Season]:
    rack = Rack(f"sqlite:///{tmp_path / 'jobs.sqlite3'}")
    yield Season(rack, 300)
    rack.close()


def test_the_week(season: Season) -> None:
    batch = sample("supplier_batch")
    pooled = only(batch, [o for o in batch.openings if o.order in ORDERS], "week")
    plan = season.plan("week", pooled)

    # Every order pays its share, and the order due first is cut first; neither changes a cent.
    shares = cost_shares(plan.problem, plan.plan)
    assert [share.order for share in shares] == ORDERS
    ordered = in_cutting_order(plan.problem, plan.plan, {"S-4103": 1, "S-4101": 2})
    assert faults(plan.problem, ordered.plan) == []
    assert ordered.plan.total == plan.plan.total
    assert set(ordered.finished) == set(ORDERS)

    # A third of every group is cut; a rail comes out short and a roll has a flaw.
    events = [
        StickCut(profile=group.profile, colour=group.colour, number=stick.number)
        for group in plan.plan.stick_groups
        for stick in group.sticks[: len(group.sticks) // 3]
    ]
    mesh = plan.plan.roll_groups[0]
    crosscuts = [CrosscutCut(mesh=mesh.mesh, number=cut.number) for cut in mesh.rolls[0].crosscuts[:2]]
    rail = plan.plan.stick_groups[0].sticks[-1].rails[0]
    now = season.revise(
        "week",
        plan,
        *events,
        *crosscuts,
        Miscut(opening=rail.opening, copy=rail.copy, place=rail.place, length=Ticks(rail.length - inches(1))),
        RollFlaw(mesh=mesh.mesh, number=mesh.rolls[-1].number, starts_at=inches(30), length=inches(2)),
    )

    # A label is lost: the measured length leads back to the piece.
    pin = now.problem.pinned_rails[0]
    assert (pin.opening, pin.copy, pin.place) in [
        (one.opening, one.copy, one.place) for one in candidates(now.problem, now.plan, pin.length)
    ]

    # One order is cancelled, one wants a screen more, one was measured wrong; what is cut serves others.
    cancelled = [o.label for o in now.problem.openings if o.order == "S-4160"]
    more = next(o for o in now.problem.openings if o.order == "S-4101")
    mended = next(o for o in now.problem.openings if o.order == "S-4102")
    now = season.revise(
        "week",
        now,
        *[Cancelled(opening=label) for label in cancelled],
        ChangeOrder(opening=more.label, quantity=more.quantity + 1),
        Remeasured(
            opening=mended.label,
            widths=tuple(Ticks(width - inches(0, 1, 4)) for width in mended.widths),
            heights=mended.heights,
        ),
    )
    assert {share.order for share in cost_shares(now.problem, now.plan)} == set(ORDERS[:-1])

    now = season.revise("week", now, EverythingCut())
    assert season.finish("week", short_by=inches(0, 1, 16))

    # After the week is cut a customer finds a short rail: it is cut again, not from what the rack has taken over.
    pin = now.problem.pinned_rails[0]
    again = season.revise("week", now, RailMissing(opening=pin.opening, copy=pin.copy, place=pin.place))
    assert [rail.place for g in again.plan.stick_groups for s in g.sticks for rail in s.rails] == [pin.place]
    season.revise("week", again, EverythingCut())
    season.finish("week")

    # Two late orders are planned at the same moment, each with the leftovers of the week: no piece goes to both.
    orders = ("S-4103", "S-4104")
    late = {order: bought_new(only(batch, [o for o in batch.openings if o.order == order], order)) for order in orders}
    with ThreadPoolExecutor(max_workers=2) as threads:
        plans = dict(zip(late, threads.map(lambda order: season.plan(order, late[order]), late), strict=True))
    taken = {order: set(settlement(plan).taken) for order, plan in plans.items()}
    assert taken["S-4103"]
    assert not taken["S-4103"] & taken["S-4104"]

    # One of them is cancelled, the other is cut.
    season.cancel("S-4104")
    last = season.revise("S-4103", plans["S-4103"], EverythingCut())
    assert set(last.begun) == taken["S-4103"]
    season.finish("S-4103")
