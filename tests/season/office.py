"""An office that plans, revises and keeps its rack; after every step everything is recounted."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from service.job_settings import JobSettings
from service.leftovers.records import PieceState, RackPiece, Search
from service.leftovers.stock import left_over, taken_from_rack, with_rack
from service.planning import problem_of, read
from service.rack.rack import Rack
from solver.check import faults, pinned_faults
from solver.events import Event
from solver.lengths import Ticks
from solver.limits import Limits
from solver.openings import Opening
from solver.plan import Plan
from solver.pooling import Belonging, cost_shares
from solver.problem import Problem
from solver.revision import Revision, replan
from solver.solve import solve

SAMPLES = Path(__file__).parents[2] / "sample_jobs"
TENANT = "we"
EVERYTHING = 1_000_000
EXACT = Ticks(0)


def sample(name: str) -> Problem:
    """Return a sample job as it is read."""
    return problem_of(read(SAMPLES / f"{name}.xlsx", JobSettings(accept_proposals=True)))


def only(problem: Problem, openings: Sequence[Opening], name: str) -> Problem:
    """Return a job of some of its openings."""
    return replace(problem, openings=tuple(openings), name=name)


class Season:
    """A tenant's season. ``spent`` is the money of every purchase list so far."""

    def __init__(self, rack: Rack, work: int) -> None:
        self.rack = rack
        self.spent = 0
        self.ever = 0
        self._limits = Limits(work=work)

    def plan(self, job: str, problem: Problem) -> Revision:
        """Plan a job with the rack, and have the rack promise what the plan takes."""
        with_pieces = with_rack(problem, self._free())
        first = Revision(number=0, problem=with_pieces, plan=solve(with_pieces, self._limits))
        taken = taken_from_rack(first.plan, [piece.id for piece in self._free()])
        self.rack.reserve(TENANT, job, taken)
        self.ever += len(self.rack.expect(TENANT, job, left_over(first.problem, first.plan)))
        self._recount(first)
        return first

    def revise(self, job: str, before: Revision, *events: Event, price_of_change: int = 0) -> Revision:
        """Take events in, and tell the rack what the revised plan takes and leaves."""
        now = replan(before, events, self._limits, price_of_change=price_of_change)  # type: ignore[arg-type]
        assert pinned_faults(before.problem, before.plan, events, now.problem, now.plan) == []
        self.rack.reserve(TENANT, job, taken_from_rack(now.plan, [piece.id for piece in self._free()]))
        self.ever += len(self.rack.expect(TENANT, job, left_over(now.problem, now.plan)))
        self._recount(now)
        return now

    def finish(self, job: str, last: Revision, *, short_by: Ticks = EXACT) -> list[RackPiece]:
        """End a job: what it took is used, what it leaves is measured (a little shorter than planned) and stock."""
        self.rack.use(TENANT, job)
        expected = self.rack.search(TENANT, Search(state=PieceState.EXPECTED, job=job, limit=EVERYTHING))
        assert len(expected) == sum(
            self.rack.rules(TENANT).worth_keeping(p) for p in left_over(last.problem, last.plan)
        )
        confirmed = self.rack.confirm(TENANT, {p.id: Ticks(p.length - short_by) for p in expected})
        self._recount_rack()
        return [piece for piece in confirmed if piece.state is PieceState.FREE]

    def cancel(self, job: str) -> None:
        """Give back what a job had."""
        self.rack.release(TENANT, job)
        self._recount_rack()

    def _free(self) -> list[RackPiece]:
        return self.rack.search(TENANT, Search(limit=EVERYTHING))

    def _recount(self, revision: Revision) -> None:
        """Recount plan, money and rack."""
        plan: Plan = revision.plan
        assert faults(revision.problem, plan) == []
        bought = sum(line.cost or 0 for line in plan.purchases)
        assert (plan.total or 0) == bought
        shares = cost_shares(revision.problem, plan, Belonging.ORDER)
        assert sum(share.total for share in shares) == bought
        self.spent += bought
        self._recount_rack()

    def _recount_rack(self) -> None:
        """Every piece ever noted is still known, each once, and is somebody's exactly while it is not free."""
        pieces = self.rack.search(TENANT, Search(state=None, limit=EVERYTHING))
        assert len(pieces) == self.ever
        assert len({piece.id for piece in pieces}) == len(pieces)
        for piece in pieces:
            if piece.state in (PieceState.RESERVED, PieceState.USED, PieceState.EXPECTED):
                assert piece.job
            if piece.state is PieceState.FREE:
                assert not piece.job
