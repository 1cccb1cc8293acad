"""A season on the sample apartment block, from the first plan to the last offcut; all is recounted after every step.

Phase 1 is the white building A, phase 2 the bronze building B. The steps in
the order of the test: plan, cut some, miscut, damaged stick, roll flaw, spoilt
blank, re-measured, change order, cancelled unit, short delivery, short shipment,
finish, damage at fitting after that, finish again; the second phase from the leftovers, a third job that wants the same
ones, cancel, a leftover that is not there, finish.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from service.errors import PieceTakenError
from service.leftovers.records import PieceState, Search
from service.leftovers.stock import taken_from_rack, with_rack
from service.rack.rack import Rack
from solver.catalogue import Hardware
from solver.events import (
    BlankMissing,
    Cancelled,
    ChangeOrder,
    CrosscutCut,
    DamagedStick,
    EverythingCut,
    HardwareMissing,
    Miscut,
    NotThere,
    RailMissing,
    Remeasured,
    RollFlaw,
    ShortDelivery,
    SpoiltBlank,
    StickCut,
)
from solver.lengths import Ticks, inches
from solver.limits import Limits
from solver.pooling import Belonging, one_by_one
from solver.revision.leftover_names import OWN
from solver.solve import solve
from tests.season.office import EVERYTHING, TENANT, Season, only, sample

pytestmark = pytest.mark.slow
WORK = 400


@pytest.fixture
def season(tmp_path: Path) -> Iterator[Season]:
    rack = Rack(f"sqlite:///{tmp_path / 'jobs.sqlite3'}")
    yield Season(rack, WORK)
    rack.close()


def test_the_season(season: Season) -> None:
    block = sample("apartment_block")
    phase = {
        name: only(block, [o for o in block.openings if o.phase == name], f"block, phase {name}") for name in ("1", "2")
    }

    # Plan phase 1; half of the sticks are cut, and the first roll's first crosscuts.
    plan = season.plan("phase 1", phase["1"])
    group = plan.plan.stick_groups[0]
    mesh = plan.plan.roll_groups[0]
    sort = {"profile": group.profile, "colour": group.colour}
    half = [StickCut(**sort, number=stick.number) for stick in group.sticks[: len(group.sticks) // 2]]
    first_cuts = [CrosscutCut(mesh=mesh.mesh, number=cut.number) for cut in mesh.rolls[0].crosscuts[:3]]
    now = season.revise("phase 1", plan, *half, *first_cuts)
    assert now.plan.total in (0, None)
    assert now.difference is not None
    assert now.difference.changes == 0
    cut_by_now = len(now.problem.pinned_rails)

    # A rail comes out two inches short, a stick is bent, the roll has a flaw, a blank tears.
    group, mesh = now.plan.stick_groups[0], now.plan.roll_groups[0]
    rail = group.sticks[0].rails[0]
    blank = mesh.rolls[-1].crosscuts[0].strips[0].blanks[0]
    now = season.revise(
        "phase 1",
        now,
        Miscut(opening=rail.opening, copy=rail.copy, place=rail.place, length=Ticks(rail.length - inches(2))),
        DamagedStick(**sort, number=group.sticks[-1].number, sound=(inches(20),)),
        RollFlaw(mesh=mesh.mesh, number=mesh.rolls[0].number, starts_at=inches(10), length=inches(3)),
        SpoiltBlank(opening=blank.opening, copy=blank.copy, across=inches(20), along=inches(30)),
    )
    assert len(now.problem.pinned_rails) >= cut_by_now

    # One opening is measured again, one gets pet cloth, one unit is cancelled, one window is doubled.
    labels = [opening.label for opening in now.problem.openings]
    measured = next(opening for opening in now.problem.openings if opening.label == labels[4])
    unit = now.problem.openings[-1].unit
    gone = [o.label for o in now.problem.openings if o.unit == unit]
    now = season.revise(
        "phase 1",
        now,
        Remeasured(
            opening=measured.label,
            widths=tuple(Ticks(width + inches(1)) for width in measured.widths),
            heights=measured.heights,
        ),
        ChangeOrder(opening=labels[0], mesh="pet cloth"),
        ChangeOrder(opening=labels[1], quantity=2),
        *[Cancelled(opening=label) for label in gone],
        price_of_change=200,
    )
    assert not set(gone) & {opening.label for opening in now.problem.openings}

    # What was bought more does not all come.
    line = next((line for line in now.plan.purchases if line.buy and line.stock), None)
    if line is not None:
        now = season.revise("phase 1", now, ShortDelivery(stock=line.stock, missing=1))
        assert now.plan.total is not None

    # A bag lacked two corners and a rail is lost on the way: only these are sent again.
    corner = next(need for need in now.plan.screens[0].needs if need.hardware is Hardware.CORNER)
    pin = now.problem.pinned_rails[0]
    now = season.revise(
        "phase 1",
        now,
        HardwareMissing(opening=now.plan.screens[0].opening, hardware=corner.hardware, amount=2),
        RailMissing(opening=pin.opening, copy=pin.copy, place=pin.place),
    )

    # The rest is cut and phase 1 ends; its offcuts measure 1/16 in less than planned.
    now = season.revise("phase 1", now, EverythingCut())
    assert (now.plan.stick_groups, now.plan.roll_groups) == ((), ())
    leftovers = season.finish("phase 1", short_by=inches(0, 1, 16))
    assert leftovers

    # At fitting a screen falls: rail and mesh are cut again, from the rack or new: what was left over is the rack's.
    pin = now.problem.pinned_rails[0]
    before = now
    now = season.revise(
        "phase 1",
        now,
        RailMissing(opening=pin.opening, copy=pin.copy, place=pin.place),
        BlankMissing(opening=pin.opening, copy=pin.copy),
    )
    assert [rail.place for g in now.plan.stick_groups for s in g.sticks for rail in s.rails] == [pin.place]
    least = season.rack.rules(TENANT).least_stick
    own = [s.length for s in now.problem.catalogue.sticks if s.name.startswith(OWN) and s.on_hand]
    assert max(own, default=0) < least
    assert set(now.struck) > set(before.struck)
    now = season.revise("phase 1", now, EverythingCut())
    season.finish("phase 1")

    # Phase 2 begins with the leftovers and buys no more than it would without them.
    second = season.plan("phase 2", phase["2"])
    without = solve(phase["2"], Limits(work=WORK))
    assert (second.plan.total or 0) <= (without.total or 0)
    taken = season.rack.search(TENANT, Search(state=PieceState.RESERVED, job="phase 2", limit=EVERYTHING))
    assert taken

    # Another job planned with the same leftovers is refused, plans with what is free, and is cancelled.
    rival = with_rack(phase["2"], taken)
    rivals_plan = solve(rival, Limits(work=WORK))
    with pytest.raises(PieceTakenError):
        season.rack.reserve(TENANT, "rival", taken_from_rack(rivals_plan, [piece.id for piece in taken]))
    season.plan("rival", only(block, block.openings[:2], "two windows"))
    season.cancel("rival")
    assert season.rack.search(TENANT, Search(state=PieceState.RESERVED, job="rival", limit=EVERYTHING)) == []

    # One of the leftovers is not where the rack says it is: something else takes its place.
    second = season.revise("phase 2", second, NotThere(stock=taken[0].id))
    scrapped = season.rack.search(TENANT, Search(state=PieceState.SCRAPPED, job="phase 2", limit=EVERYTHING))
    assert [piece.id for piece in scrapped] == [taken[0].id]

    # Phase 2 is cut and ends.
    second = season.revise("phase 2", second, EverythingCut())
    season.finish("phase 2")
    assert season.rack.search(TENANT, Search(state=PieceState.RESERVED, limit=EVERYTHING)) == []
    assert season.rack.search(TENANT, Search(state=PieceState.EXPECTED, limit=EVERYTHING)) == []


def test_the_block_phase_by_phase_beside_the_joint_plan() -> None:
    phased = one_by_one(sample("apartment_block"), Limits(work=WORK), Belonging.PHASE.of)
    assert [phase.name for phase in phased.phases] == ["1", "2"]
    assert phased.total is not None
    assert phased.joint.total is not None
    # Colours part the rails, so only mesh and packs can be saved by planning jointly.
    assert phased.total >= (phased.joint.bound or 0)
