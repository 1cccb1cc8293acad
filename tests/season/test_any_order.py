"""Two jobs of one tenant and their rack, whatever happens in whatever order: every piece is in one place at most."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from random import Random

import pytest

from service.errors import PieceTakenError, UnknownPieceError
from service.leftovers.records import NewPiece, PieceState, RackPiece, RackRules, Search
from service.leftovers.settlement import Settlement, settlement, sort_of, unaccounted
from service.leftovers.stock import as_handed_over, with_present_rack, with_rack
from service.rack.rack import Rack
from solver.check import faults, pinned_faults
from solver.events import Added, Cancelled, CrosscutCut, DamagedStick, Event, EverythingCut, Miscut, StickCut
from solver.lengths import Ticks, inches
from solver.limits import Limits
from solver.revision import Revision, chain_purchases, replan
from solver.solve import solve
from tests.builders import opening, problem, stick

pytestmark = pytest.mark.slow
TENANT = "we"
LIMITS = Limits(work=30)
EVERYTHING = 1_000_000
STEPS = 60


class Office:
    """Does one thing after the other by chance, and recounts everything after each."""

    def __init__(self, rack: Rack, seed: int) -> None:
        self.rack, self.chance = rack, Random(seed)
        self.chains: dict[str, list[Revision]] = {}
        self.told: list[str] = []
        self._jobs = 0
        rack.set_rules(TENANT, RackRules(least_stick=inches(4)))

    def step(self) -> None:
        deed = self.chance.choice(
            [self.plan, self.cut, self.cut, self.spoil, self.grow, self.shrink, self.end]
            + [self.measure] * 3
            + [self.throw_away, self.take_back, self.cancel]
        )
        self.told.append(deed.__name__)
        deed()
        self.recount()

    def plan(self) -> None:
        """Begin a job, while fewer than two are in hand."""
        if len(self.chains) > 1:
            return
        self._jobs += 1
        job = f"job {self._jobs}"
        bare = problem(
            opening("A", width=inches(self.chance.randint(10, 30))),
            sticks=(stick("8 ft", inches(96), 800), stick("12 ft", inches(144), 1_300)),
        )
        here = with_rack(bare, self.rack.at_hand(TENANT, job))
        first = Revision(number=0, problem=here, plan=solve(here, LIMITS))
        self.rack.promise(TENANT, job, settlement(first), first=True)
        self.rack.settle(TENANT, job, settlement(first))
        self.chains[job] = [first]

    def cut(self) -> None:
        for job, now in self._one():
            sticks = [(g, s) for g in now.plan.stick_groups for s in g.sticks]
            cuts = [(g.mesh, c.number) for g in now.plan.roll_groups for r in g.rolls for c in r.crosscuts]
            events: list[Event] = [
                StickCut(profile=g.profile, colour=g.colour, number=s.number)
                for g, s in sticks
                if self.chance.random() < 0.4
            ]
            events += [CrosscutCut(mesh=mesh, number=n) for mesh, n in cuts if self.chance.random() < 0.4]
            self.revise(job, *events)

    def spoil(self) -> None:
        for job, now in self._one():
            rails = [(g, s, r) for g in now.plan.stick_groups for s in g.sticks for r in s.rails]
            if not rails:
                return
            group, cut, rail = self.chance.choice(rails)
            if self.chance.random() < 0.5:
                short = Ticks(rail.length - self.chance.randint(1, 3) * inches(1))
                self.revise(job, Miscut(opening=rail.opening, copy=rail.copy, place=rail.place, length=short))
            else:
                sound = (Ticks(cut.length // 3),)
                event = DamagedStick(profile=group.profile, colour=group.colour, number=cut.number, sound=sound)
                self.revise(job, event)

    def grow(self) -> None:
        for job, now in self._one():
            label = f"B{len(now.problem.openings)}-{now.number}"
            size = inches(self.chance.randint(8, 24))
            self.revise(job, Added(opening=opening(label, width=size, height=size)))

    def shrink(self) -> None:
        for job, now in self._one():
            if len(now.problem.openings) > 1:
                self.revise(job, Cancelled(opening=now.problem.openings[-1].label))

    def end(self) -> None:
        for job, _ in self._one():
            if self.chance.random() < 0.4:
                self.revise(job, EverythingCut())

    def measure(self) -> None:
        """Confirm some of what is expected, a little shorter; cut or not."""
        for piece in self._lying(PieceState.EXPECTED):
            if self.chance.random() < 0.4:
                self.rack.confirm(TENANT, {piece.id: Ticks(piece.length - inches(0, 1, 16))})

    def throw_away(self) -> None:
        for piece in (*self._lying(PieceState.EXPECTED), *self._lying(PieceState.FREE)):
            if self.chance.random() < 0.1:
                self.rack.scrap(TENANT, [piece.id])

    def take_back(self) -> None:
        for job, now in self._one():
            chain = self.chains[job]
            if len(chain) < 2:
                return
            before, after = settlement(chain[-2]), settlement(now)
            try:
                self.rack.promise(TENANT, job, before)
            except (PieceTakenError, UnknownPieceError):
                # Refused: what the latest revision says still holds, and was not touched.
                self.told[-1] += " refused"
                assert not unaccounted(self.rack.handed_over(TENANT, job), after)
                return
            chain.pop()
            self.rack.settle(TENANT, job, before)

    def cancel(self) -> None:
        for job, _ in self._one():
            if self.chance.random() < 0.3:
                self.rack.release(TENANT, job)
                del self.chains[job]

    def revise(self, job: str, *events: Event) -> None:
        before = with_present_rack(self.chains[job][-1], self.rack.at_hand(TENANT, job))
        over = as_handed_over(self.rack.handed_over(TENANT, job))
        now = replan(before, events, LIMITS, handed_over=over)
        struck = [piece for piece in over if piece.code in set(now.struck) - set(before.struck)]
        assert pinned_faults(before.problem, before.plan, now.events, now.problem, now.plan, struck) == []
        self.rack.promise(TENANT, job, settlement(now))
        self.rack.settle(TENANT, job, settlement(now))
        self.chains[job].append(now)

    def recount(self) -> None:
        rules = self.rack.rules(TENANT)
        for job, chain in self.chains.items():
            now = chain[-1]
            assert faults(now.problem, now.plan) == []
            meant: Settlement = settlement(now)
            assert {piece.id for piece in self._lying(PieceState.RESERVED, job)} == set(meant.taken)
            handed_over = self.rack.handed_over(TENANT, job)
            assert unaccounted(handed_over, meant) == []
            left = Counter(sort_of(piece) for piece in meant.left if rules.worth_keeping(piece))
            known = {piece.id for piece in handed_over} - set(now.struck)
            confirmed = Counter(_as_planned(piece) for piece in handed_over if piece.id in known)
            expected = Counter(sort_of(piece) for piece in self._lying(PieceState.EXPECTED, job))
            assert expected == left - confirmed
            purchases = chain_purchases(now)
            assert purchases is not None
            assert sum(each.paid for each in purchases) == sum(link.plan.total or 0 for link in chain)
        assert {piece.job for piece in self._lying(PieceState.RESERVED)} <= set(self.chains)
        assert self.rack.unsettled(-1) == []

    def _one(self) -> Iterator[tuple[str, Revision]]:
        if self.chains:
            job = self.chance.choice(sorted(self.chains))
            yield job, self.chains[job][-1]

    def _lying(self, state: PieceState, job: str = "") -> list[RackPiece]:
        return self.rack.search(TENANT, Search(state=state, job=job, limit=EVERYTHING))


def _as_planned(piece: RackPiece) -> tuple[object, ...]:
    return sort_of(
        NewPiece(
            length=piece.planned,
            profile=piece.profile,
            colour=piece.colour,
            mesh=piece.mesh,
            width=piece.width,
            both_ends_clean=piece.both_ends_clean,
        )
    )


@pytest.mark.parametrize("seed", range(8))
def test_every_piece_is_in_one_place_at_most(tmp_path: Path, seed: int) -> None:
    rack = Rack(f"sqlite:///{tmp_path / 'jobs.sqlite3'}")
    office = Office(rack, seed)
    try:
        office.plan()
        for _ in range(STEPS):
            office.step()
    except Exception as error:
        error.add_note(f"after {' > '.join(office.told)}")
        raise
    finally:
        rack.close()
