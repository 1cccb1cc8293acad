"""An office that plans, revises and keeps its rack; after every step everything is recounted."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from service.errors import PieceTakenError
from service.job_settings import JobSettings
from service.leftovers.records import NewPiece, PieceState, RackPiece, Search, is_code
from service.leftovers.settlement import settlement
from service.leftovers.stock import (
    as_handed_over,
    left_over,
    pieces_on_hand,
    taken_from_rack,
    with_present_rack,
    with_rack,
)
from service.planning import problem_of, read
from service.rack.rack import Rack
from solver.check import faults, pinned_faults
from solver.events import Event, ShortDelivery
from solver.lengths import Ticks
from solver.limits import Limits
from solver.openings import Opening
from solver.pooling import Belonging, cost_shares
from solver.problem import Problem
from solver.revision import Revision, chain_purchases, replan, with_all_bought
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


def bought_new(problem: Problem) -> Problem:
    """Return a job that lists nothing as on hand: what lay there is cut by now."""
    catalogue = problem.catalogue
    sticks = tuple(replace(stick, on_hand=0) for stick in catalogue.sticks if not stick.leftover)
    rolls = tuple(replace(roll, on_hand=0) for roll in catalogue.rolls if not roll.leftover)
    return replace(problem, catalogue=replace(catalogue, sticks=sticks, rolls=rolls))


class Season:
    """A tenant's season. ``spent`` is the money of every purchase list so far, ``now`` the latest plan of every job."""

    def __init__(self, rack: Rack, work: int) -> None:
        self.rack = rack
        self.spent = 0
        self.paid: Counter[str] = Counter()
        self.now: dict[str, Revision] = {}
        self._limits = Limits(work=work)

    def plan(self, job: str, problem: Problem) -> Revision:
        """Plan a job with the rack, which promises what the plan takes; again, where another job was faster."""
        while True:
            with_pieces = with_rack(problem, self.rack.at_hand(TENANT, job))
            first = Revision(number=0, problem=with_pieces, plan=solve(with_pieces, self._limits))
            try:
                self.paid[job] = 0
                self._tell(job, first)
            except PieceTakenError:
                continue
            return first

    def revise(self, job: str, before: Revision, *events: Event, price_of_change: int = 0) -> Revision:
        """Take events in, and tell the rack what is cut, and what the revised plan takes and leaves."""
        before = with_present_rack(before, self.rack.at_hand(TENANT, job))
        over = as_handed_over(self.rack.handed_over(TENANT, job))
        now = replan(before, events, self._limits, price_of_change=price_of_change, handed_over=over)  # type: ignore[arg-type]
        self.paid[job] -= sum(_price(before, event) for event in events if isinstance(event, ShortDelivery))
        struck = [piece for piece in over if piece.code in set(now.struck) - set(before.struck)]
        assert pinned_faults(before.problem, before.plan, now.events, now.problem, now.plan, struck) == []
        self._tell(job, now)
        return now

    def finish(self, job: str, *, short_by: Ticks = EXACT) -> list[RackPiece]:
        """End a job: what it leaves is measured, a little shorter than planned, and becomes stock."""
        expected = self.rack.search(TENANT, Search(state=PieceState.EXPECTED, job=job, limit=EVERYTHING))
        confirmed = self.rack.confirm(TENANT, {p.id: Ticks(p.length - short_by) for p in expected})
        assert self._pieces(job, PieceState.RESERVED) == set()
        del self.now[job]
        self._recount()
        return [piece for piece in confirmed if piece.state is PieceState.FREE]

    def cancel(self, job: str) -> None:
        """Give back what a job had."""
        self.rack.release(TENANT, job)
        del self.now[job]
        self._recount()

    def _tell(self, job: str, revision: Revision) -> None:
        settled = settlement(revision)
        self.rack.reserve(TENANT, job, settled.taken)
        assert self.rack.settle(TENANT, job, settled) == 0
        self.now[job] = revision
        bought = sum(line.cost or 0 for line in revision.plan.purchases)
        assert (revision.plan.total or 0) == bought
        assert sum(share.total for share in cost_shares(revision.problem, revision.plan, Belonging.ORDER)) == bought
        self.spent += bought
        self.paid[job] += bought
        assert sum(each.paid for each in chain_purchases(revision) or ()) == self.paid[job]
        whole = with_all_bought(revision)
        assert whole is not None
        shares = cost_shares(revision.problem, whole, Belonging.ORDER)
        assert sum(share.total for share in shares) == (self.paid[job] if shares else 0)
        self._recount()

    def _recount(self) -> None:
        """Recount every plan in hand, and the rack against them: a piece is somebody's exactly while a plan says so."""
        rules = self.rack.rules(TENANT)
        for job, revision in self.now.items():
            assert faults(revision.problem, revision.plan) == []
            taken = taken_from_rack(revision.plan, pieces_on_hand(revision.problem))
            assert self._pieces(job, PieceState.RESERVED) == set(taken)
            assert self._pieces(job, PieceState.USED) == {name for name in revision.begun if is_code(name)}
            left = [piece for piece in left_over(revision.problem, revision.plan) if rules.worth_keeping(piece)]
            expected = self.rack.search(TENANT, Search(state=PieceState.EXPECTED, job=job, limit=EVERYTHING))
            assert _sizes(expected) == _sizes(left)
        for piece in self.rack.search(TENANT, Search(limit=EVERYTHING)):
            assert not piece.job

    def _pieces(self, job: str, state: PieceState) -> set[str]:
        return {piece.id for piece in self.rack.search(TENANT, Search(state=state, job=job, limit=EVERYTHING))}


def _price(before: Revision, event: ShortDelivery) -> int:
    """Return the price of what did not come, which the sample jobs sell piece by piece."""
    (line,) = [line for line in before.plan.purchases if line.stock == event.stock and line.buy]
    return (line.price or 0) * event.missing


def _sizes(pieces: Sequence[RackPiece] | Sequence[NewPiece]) -> Counter[tuple[str, str, str, int, int]]:
    return Counter((each.profile, each.colour, each.mesh, each.width, each.length) for each in pieces)
