"""The rack of every tenant: pieces come, are measured, promised to one job, used or scrapped.

Every method is one transaction. A piece is promised by locking its row, so two
jobs that want it at once get it one after the other, and the second is refused.
A reservation ends with its job: those of jobs of this service that were
cancelled or failed count as free in the next transaction.
"""

from __future__ import annotations

import random
import secrets
import threading
import time
from collections import Counter
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from contextlib import nullcontext
from dataclasses import asdict, replace
from typing import Any, TypeVar

from sqlalchemy.exc import DataError, DBAPIError, SQLAlchemyError

from service.errors import PieceTakenError, RackFullError, StoreDownError, UnknownPieceError, UnstorableError
from service.jobs.migrate import up_to_date as jobs_up_to_date
from service.jobs.sql_store import sql_engine
from service.leftovers.records import ALPHABET, NewPiece, PieceState, RackPiece, RackRules, Search, is_code
from service.leftovers.settlement import Settlement, sort_of, unaccounted
from service.rack.migrate import up_to_date
from service.rack.shelves import Shelves
from solver.lengths import Ticks

Result = TypeVar("Result")

_CLASHES = {"40001", "40P01"}
_TRIES = 6


class Rack:
    """Opens the rack behind a database URL, that of the job store; makes its tables if they are missing."""

    def __init__(self, url: str) -> None:
        self._engine = sql_engine(url)
        self._lock: Any = threading.Lock() if self._engine.dialect.name == "sqlite" else nullcontext()
        try:
            jobs_up_to_date(self._engine)
            up_to_date(self._engine)
        except DBAPIError as error:
            raise StoreDownError(f"the rack cannot be opened: {error.orig}") from error

    def close(self) -> None:
        """Close every connection."""
        self._engine.dispose()

    def add(self, tenant: str, pieces: Sequence[NewPiece]) -> list[RackPiece]:
        """Lay measured pieces on the rack, free at once; those too small by its rules are left out.

        Raises
        ------
        RackFullError
            If the rack would hold more pieces than its rules allow.
        """

        def work(shelves: Shelves) -> list[RackPiece]:
            rules = shelves.rules(tenant)
            kept = [piece for piece in pieces if rules.worth_keeping(piece)]
            _room_for(shelves, tenant, len(kept), rules)
            new = [_made(tenant, piece, PieceState.FREE, "", shelves.now()) for piece in kept]
            shelves.add(new)
            return new

        return self._change(work)

    def expect(
        self, tenant: str, job: str, pieces: Sequence[NewPiece], struck: Collection[str] = ()
    ) -> list[RackPiece]:
        """Note what a job's plan leaves over; it is no stock before its real length is confirmed.

        What the same job was expected to leave before is replaced: its plan may
        have been revised. What was confirmed is not expected again; ``struck`` are
        the codes of confirmed pieces that the plan does not count on any more.

        Raises
        ------
        RackFullError
            If the rack would hold more pieces than its rules allow.
        """

        def work(shelves: Shelves) -> list[RackPiece]:
            now = shelves.now()
            for old in shelves.of_job(tenant, job, [PieceState.EXPECTED]):
                shelves.save(replace(old, state=PieceState.SCRAPPED, changed=now))
            rules = shelves.rules(tenant)
            kept = [piece for piece in pieces if rules.worth_keeping(piece)]
            kept = _without_confirmed(kept, shelves.handed_over(tenant, job), struck)
            _room_for(shelves, tenant, len(kept), rules)
            new = [_made(tenant, piece, PieceState.EXPECTED, job, now) for piece in kept]
            shelves.add(new)
            return new

        return self._change(work)

    def confirm(self, tenant: str, lengths: Mapping[str, Ticks]) -> list[RackPiece]:
        """Make expected pieces stock, by their real lengths; one of length 0, or too small, is scrapped.

        A piece is named by its code on the rack, or by the code that its job printed on its label.

        Raises
        ------
        UnknownPieceError
            If one is not on the rack.
        PieceTakenError
            If one is not expected any more.
        """

        def work(shelves: Shelves) -> list[RackPiece]:
            known = {_by_label(shelves, tenant, code): length for code, length in lengths.items()}
            pieces = _all_there(shelves, tenant, known)
            _all_in(pieces, {PieceState.EXPECTED})
            rules, now = shelves.rules(tenant), shelves.now()
            confirmed = []
            for piece in pieces:
                measured = replace(_from_its_job(piece), length=known[piece.id], created=now, changed=now)
                keep = measured.length > 0 and rules.worth_keeping(measured)
                state = PieceState.FREE if keep else PieceState.SCRAPPED
                confirmed.append(replace(measured, state=state, source=piece.source, job=""))
                shelves.save(confirmed[-1])
            return confirmed

        return self._change(work)

    def search(self, tenant: str, wanted: Search) -> list[RackPiece]:
        """Return the pieces looked for, shortest first."""

        def work(shelves: Shelves) -> list[RackPiece]:
            shelves.let_go(tenant)
            return shelves.search(tenant, wanted)

        return self._change(work)

    def reserve(self, tenant: str, job: str, ids: Collection[str]) -> list[RackPiece]:
        """Promise pieces to a job: all of them or none. What it has already, or has used, stays with it.

        Raises
        ------
        UnknownPieceError
            If one is not on the rack.
        PieceTakenError
            If one is promised to another job, or gone.
        """

        def work(shelves: Shelves) -> list[RackPiece]:
            shelves.let_go(tenant)
            return _reserved(shelves, tenant, job, ids)

        return self._change(work)

    def promise(self, tenant: str, job: str, settlement: Settlement, *, first: bool = False) -> None:
        """Promise what a plan takes, before it is committed; ``settle`` follows once it is.

        What the job was to leave over and this plan does not is withdrawn, so that
        nobody confirms it in between. After a ``first`` plan, what an earlier job of
        this name left over is not this one's.

        Raises
        ------
        UnknownPieceError
            If a piece is not on the rack.
        PieceTakenError
            If a piece that the plan takes or has begun is promised to another job or
            gone, or a leftover of this job was confirmed that the plan does not know
            of. Nothing is changed then.
        """

        def work(shelves: Shelves) -> None:
            shelves.let_go(tenant)
            confirmed = shelves.handed_over(tenant, job)
            if first:
                for piece in confirmed:
                    shelves.forget_origin(piece)
            elif unknown := unaccounted(confirmed, settlement):
                words = ", ".join(f"{piece.id}{f' ({piece.label})' if piece.label else ''}" for piece in unknown)
                raise PieceTakenError(f"not to be had: {words}, confirmed since as leftover of this job")
            _reserved(shelves, tenant, job, [*settlement.taken, *_begun_of(shelves, tenant, job, settlement.begun)])
            rules = shelves.rules(tenant)
            kept = [piece for piece in settlement.left if rules.worth_keeping(piece)]
            _without_known(kept, shelves.of_job(tenant, job, [PieceState.EXPECTED]), shelves.remove)
            shelves.note_promise(tenant, job)

        self._change(work)

    def unsettled(self, seconds: float) -> list[tuple[str, str]]:
        """Return tenant and job of every promise that was not settled for so long: a crash came between."""
        return self._change(lambda shelves: shelves.promised_before(shelves.now() - seconds))

    def drop_promise(self, tenant: str, job: str) -> None:
        """Forget that a promise waits to be settled; its pieces stay as they are."""
        self._change(lambda shelves: shelves.settled(tenant, job))

    def at_hand(self, tenant: str, job: str = "") -> list[RackPiece]:
        """Return what a job may be planned with: the free pieces, and those promised to it already."""

        def work(shelves: Shelves) -> list[RackPiece]:
            shelves.let_go(tenant)
            free = shelves.search(tenant, Search(limit=shelves.rules(tenant).most_pieces + 1))
            return [*free, *(shelves.of_job(tenant, job, [PieceState.RESERVED]) if job else ())]

        return self._change(work)

    def handed_over(self, tenant: str, job: str) -> list[RackPiece]:
        """Return what a job left over and was confirmed since; it is the rack's, and no stock of that job any more."""
        return self._change(lambda shelves: shelves.handed_over(tenant, job))

    def settle(self, tenant: str, job: str, settlement: Settlement) -> int:
        """Note what a job's latest plan means for the rack; return how many leftovers find no room on it.

        What is begun is used, what is gone is scrapped, what the plan no longer
        takes is free again, and what it leaves over is expected in place of what
        was expected before. What was confirmed is not expected again. What is said
        twice changes nothing.
        """

        def work(shelves: Shelves) -> int:
            now = shelves.now()
            states = dict.fromkeys(settlement.taken, PieceState.RESERVED)
            states |= dict.fromkeys(settlement.begun, PieceState.USED)
            states |= dict.fromkeys(settlement.gone, PieceState.SCRAPPED)
            for piece in shelves.of_job(tenant, job, [PieceState.RESERVED, PieceState.USED, PieceState.SCRAPPED]):
                # A scrapped piece comes back only where a revision that did not find it is taken back.
                otherwise = PieceState.SCRAPPED if piece.state is PieceState.SCRAPPED else PieceState.FREE
                state = states.get(piece.id, otherwise)
                if state is not piece.state:
                    keeper = "" if state is PieceState.FREE else job
                    shelves.save(replace(piece, state=state, job=keeper, changed=now))
            for piece in shelves.locked(tenant, settlement.gone):
                if piece.state is PieceState.FREE:
                    shelves.save(replace(piece, state=PieceState.SCRAPPED, changed=now))
            rules = shelves.rules(tenant)
            kept = [piece for piece in settlement.left if rules.worth_keeping(piece)]
            kept = _without_confirmed(kept, shelves.handed_over(tenant, job), settlement.struck)
            new = _without_known(kept, shelves.of_job(tenant, job, [PieceState.EXPECTED]), shelves.remove)
            room = max(0, rules.most_pieces - shelves.count(tenant))
            longest = sorted(new, key=lambda piece: -piece.length)[:room]
            shelves.add([_made(tenant, piece, PieceState.EXPECTED, job, now) for piece in longest])
            shelves.settled(tenant, job)
            return len(new) - len(longest)

        return self._change(work)

    def release(self, tenant: str, job: str, lying: Sequence[NewPiece] = ()) -> list[RackPiece]:
        """Free what a job has reserved, such as when it is cancelled; what it was to leave over is expected no more.

        ``lying`` are the leftovers that are there already, since their sticks are cut: these stay expected.
        """

        def work(shelves: Shelves) -> list[RackPiece]:
            now = shelves.now()
            released = []
            for piece in shelves.of_job(tenant, job, [PieceState.RESERVED]):
                released.append(replace(piece, state=PieceState.FREE, job="", changed=now))
                shelves.save(released[-1])
            gone: list[RackPiece] = []
            _without_known(lying, shelves.of_job(tenant, job, [PieceState.EXPECTED]), gone.append)
            for piece in gone:
                shelves.save(replace(piece, state=PieceState.SCRAPPED, changed=now))
            shelves.settled(tenant, job)
            return released

        return self._change(work)

    def use(self, tenant: str, job: str, ids: Collection[str] | None = None) -> list[RackPiece]:
        """Note that a job has cut what it reserved, all of it or these pieces."""

        def work(shelves: Shelves) -> list[RackPiece]:
            now = shelves.now()
            used = []
            for piece in shelves.of_job(tenant, job, [PieceState.RESERVED]):
                if ids is None or piece.id in ids:
                    used.append(replace(piece, state=PieceState.USED, changed=now))
                    shelves.save(used[-1])
            return used

        return self._change(work)

    def scrap(self, tenant: str, ids: Collection[str]) -> list[RackPiece]:
        """Throw pieces away that are free or only expected.

        Raises
        ------
        UnknownPieceError
            If one is not on the rack.
        PieceTakenError
            If one is promised to a job, or gone already.
        """

        def work(shelves: Shelves) -> list[RackPiece]:
            shelves.let_go(tenant)
            pieces = _all_there(shelves, tenant, ids)
            _all_in(pieces, {PieceState.FREE, PieceState.EXPECTED})
            now = shelves.now()
            # An expected piece that is thrown away is gone from its job too, as if it had been confirmed.
            scrapped = [
                replace(_from_its_job(piece), state=PieceState.SCRAPPED, job="", changed=now)
                if piece.state is PieceState.EXPECTED
                else replace(piece, state=PieceState.SCRAPPED, changed=now)
                for piece in pieces
            ]
            for piece in scrapped:
                shelves.save(piece)
            return scrapped

        return self._change(work)

    def due_for_scrap(self, tenant: str) -> list[RackPiece]:
        """Return the free pieces that the rules say to throw away: too small, or older than the greatest age."""

        def work(shelves: Shelves) -> list[RackPiece]:
            shelves.let_go(tenant)
            rules, now = shelves.rules(tenant), shelves.now()
            due = []
            for piece in shelves.search(tenant, Search(limit=rules.most_pieces + 1)):
                old = rules.oldest_days and now - piece.created > rules.oldest_days * 86_400
                if old or not rules.worth_keeping(piece):
                    due.append(piece)
            return due

        return self._change(work)

    def rules(self, tenant: str) -> RackRules:
        """Return a tenant's rules."""
        return self._change(lambda shelves: shelves.rules(tenant))

    def set_rules(self, tenant: str, rules: RackRules) -> None:
        """Set a tenant's rules; what lies on the rack already stays until it is scrapped."""
        self._change(lambda shelves: shelves.set_rules(tenant, rules))

    def _change(self, work: Callable[[Shelves], Result]) -> Result:
        for last in (*[False] * (_TRIES - 1), True):
            try:
                with self._lock, self._engine.begin() as connection:
                    return work(Shelves(connection))
            except DataError as error:
                raise UnstorableError(f"the rack cannot keep this: {error.orig}") from error
            except DBAPIError as error:
                if last or getattr(error.orig, "sqlstate", None) not in _CLASHES:
                    raise StoreDownError(f"the rack does not answer: {error.orig}") from error
                time.sleep(random.uniform(0.005, 0.05))
            except SQLAlchemyError as error:
                raise StoreDownError(f"the rack does not answer: {error}") from error
        raise AssertionError("unreachable")


def _made(tenant: str, piece: NewPiece, state: PieceState, job: str, now: float) -> RackPiece:
    code = "".join(secrets.choice(ALPHABET) for _ in range(8))
    fields = asdict(piece)
    return RackPiece(id=f"L{code}", tenant=tenant, state=state, job=job, created=now, changed=now, **fields)


def _by_label(shelves: Shelves, tenant: str, code: str) -> str:
    """Return the code on the rack of a piece named by its label: the start of its job's id, and the job's own code.

    Raises
    ------
    UnknownPieceError
        If several jobs printed that code; the job's start in front of it tells them apart.
    """
    if is_code(code):
        return code
    start, _, label = code.rpartition("-")
    found = [p.id for p in shelves.labelled(tenant, label) if p.job.upper().startswith(start.upper())]
    if len(found) > 1:
        raise UnknownPieceError(f"{code}: {len(found)} expected pieces have that label; take their codes on the rack")
    return found[0] if found else code


def _without_known(
    kept: Sequence[NewPiece], expected: Sequence[RackPiece], remove: Callable[[RackPiece], None]
) -> list[NewPiece]:
    """Return the pieces that are not expected yet; a piece that is expected and no longer left over is removed.

    A piece is the same if it has the size and the label it had, or no label any more, since it is cut.
    """
    missing, unmatched = list(kept), list(expected)
    for labelled in (True, False):
        for old in list(unmatched):
            label = old.label if labelled else ""
            same = next((new for new in missing if new.label == label and sort_of(new) == sort_of(old)), None)
            if same is not None:
                missing.remove(same)
                unmatched.remove(old)
    for old in unmatched:
        remove(old)
    return missing


def _without_confirmed(
    left: Iterable[NewPiece], handed_over: Iterable[RackPiece], struck: Collection[str]
) -> list[NewPiece]:
    """Return what a plan leaves over less what was confirmed by now and the plan still counts on."""
    missing = Counter(sort_of(replace(piece, length=piece.planned)) for piece in handed_over if piece.id not in struck)
    kept = []
    for piece in left:
        if missing[sort_of(piece)]:
            missing[sort_of(piece)] -= 1
        else:
            kept.append(piece)
    return kept


def _begun_of(shelves: Shelves, tenant: str, job: str, begun: Collection[str]) -> list[str]:
    """Return the pieces said to be begun that this job is still to be promised, or that another one has.

    One that was thrown away or is on no rack any more is nobody's, so it may have been cut.
    """
    nobodys = (PieceState.FREE, PieceState.EXPECTED)
    return [
        piece.id
        for piece in shelves.locked(tenant, begun)
        if piece.state in nobodys or (piece.state is not PieceState.SCRAPPED and piece.job != job)
    ]


def _from_its_job(piece: RackPiece) -> RackPiece:
    """Return an expected piece as one that its job does not hold any more."""
    return replace(piece, origin=piece.job, planned=piece.length)


def _reserved(shelves: Shelves, tenant: str, job: str, ids: Collection[str]) -> list[RackPiece]:
    pieces = _all_there(shelves, tenant, ids)
    mine = {p.id: p for p in pieces if p.state in (PieceState.RESERVED, PieceState.USED) and p.job == job}
    others = [piece for piece in pieces if piece.id not in mine]
    _all_in(others, {PieceState.FREE})
    now = shelves.now()
    new = {piece.id: replace(piece, state=PieceState.RESERVED, job=job, changed=now) for piece in others}
    for piece in new.values():
        shelves.save(piece)
    return [(mine | new)[piece.id] for piece in pieces]


def _room_for(shelves: Shelves, tenant: str, new: int, rules: RackRules) -> None:
    there = shelves.count(tenant)
    if there + new > rules.most_pieces:
        raise RackFullError(
            f"the rack holds {there} pieces and may hold {rules.most_pieces}; {new} more do not go on it: "
            "scrap what nobody will use, or raise the number in its rules"
        )


def _all_there(shelves: Shelves, tenant: str, ids: Collection[str]) -> list[RackPiece]:
    pieces = shelves.locked(tenant, ids)
    missing = sorted(set(ids) - {piece.id for piece in pieces})
    if missing:
        raise UnknownPieceError(f"not on the rack: {', '.join(missing)}")
    return pieces


def _all_in(pieces: Sequence[RackPiece], states: Collection[PieceState]) -> None:
    others = [piece for piece in pieces if piece.state not in states]
    if others:
        words = ", ".join(
            f"{piece.id} ({piece.state.value}{f' by {piece.job}' if piece.job else ''})" for piece in others
        )
        raise PieceTakenError(f"not to be had: {words}; nothing was changed")
