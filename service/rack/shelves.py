"""The records of the rack behind one open transaction."""

from __future__ import annotations

import time
from collections.abc import Collection, Iterable, Sequence
from dataclasses import asdict

from sqlalchemy import Connection, and_, delete, exists, func, insert, or_, select, update

from service.jobs.records import JobState
from service.jobs.sql_tables import JOBS
from service.leftovers.records import PieceState, RackPiece, RackRules, Search
from service.rack.tables import PIECES, PROMISES, RULES

DAY_SECONDS = 86_400
_CHUNK = 500
_FELL_THROUGH = [JobState.CANCELLED.value, JobState.FAILED.value]


class Shelves:
    """Reads and changes rows; never kept beyond its transaction."""

    def __init__(self, connection: Connection) -> None:
        self._connection = connection
        self._postgresql = connection.dialect.name == "postgresql"

    def now(self) -> float:
        """Return the database server's clock; an embedded database has none but this machine's."""
        if self._postgresql:
            return float(self._connection.scalar(select(func.extract("epoch", func.clock_timestamp()))) or 0)
        return time.time()

    def let_go(self, tenant: str) -> None:
        """Free what is reserved by jobs of the service that were cancelled or have failed."""
        fell = exists().where(JOBS.c.id == PIECES.c.job, JOBS.c.state.in_(_FELL_THROUGH))
        query = update(PIECES).where(PIECES.c.tenant == tenant, PIECES.c.state == PieceState.RESERVED.value, fell)
        self._connection.execute(query.values(state=PieceState.FREE.value, job="", changed=self.now()))

    def locked(self, tenant: str, ids: Collection[str]) -> list[RackPiece]:
        """Return these pieces of a tenant, their rows locked; always in the order of their ids, so nobody deadlocks."""
        wanted = sorted(set(ids))
        found: list[RackPiece] = []
        for start in range(0, len(wanted), _CHUNK):
            some = wanted[start : start + _CHUNK]
            query = select(PIECES).where(PIECES.c.tenant == tenant, PIECES.c.id.in_(some))
            rows = self._connection.execute(query.order_by(PIECES.c.id).with_for_update()).mappings()
            found += [_piece(dict(row)) for row in rows]
        return found

    def of_job(self, tenant: str, job: str, states: Iterable[PieceState]) -> list[RackPiece]:
        """Return a job's pieces in these states, locked."""
        query = select(PIECES).where(
            PIECES.c.tenant == tenant, PIECES.c.job == job, PIECES.c.state.in_([state.value for state in states])
        )
        rows = self._connection.execute(query.order_by(PIECES.c.id).with_for_update()).mappings()
        return [_piece(dict(row)) for row in rows]

    def handed_over(self, tenant: str, job: str) -> list[RackPiece]:
        """Return the pieces that a job left over and that were confirmed since, whatever became of them."""
        query = select(PIECES).where(PIECES.c.tenant == tenant, PIECES.c.origin == job)
        rows = self._connection.execute(query.order_by(PIECES.c.id)).mappings()
        return [_piece(dict(row)) for row in rows] if job else []

    def labelled(self, tenant: str, label: str) -> list[RackPiece]:
        """Return the expected pieces whose jobs printed that code on their labels."""
        query = select(PIECES).where(
            PIECES.c.tenant == tenant, PIECES.c.state == PieceState.EXPECTED.value, PIECES.c.label == label
        )
        return [_piece(dict(row)) for row in self._connection.execute(query).mappings()] if label else []

    def search(self, tenant: str, wanted: Search) -> list[RackPiece]:
        """Return the pieces looked for, shortest first."""
        query = select(PIECES).where(PIECES.c.tenant == tenant, PIECES.c.length >= wanted.least_length)
        for column, value in (
            (PIECES.c.profile, wanted.profile),
            (PIECES.c.colour, wanted.colour),
            (PIECES.c.mesh, wanted.mesh),
            (PIECES.c.job, wanted.job),
        ):
            if value:
                query = query.where(column == value)
        if wanted.least_width:
            query = query.where(PIECES.c.width >= wanted.least_width)
        if wanted.state is not None:
            query = query.where(PIECES.c.state == wanted.state.value)
        if wanted.older_than_days:
            query = query.where(PIECES.c.created < self.now() - wanted.older_than_days * DAY_SECONDS)
        if wanted.after is not None:
            length, piece_id = wanted.after
            behind = and_(PIECES.c.length == length, PIECES.c.id > piece_id)
            query = query.where(or_(PIECES.c.length > length, behind))
        rows = self._connection.execute(query.order_by(PIECES.c.length, PIECES.c.id).limit(wanted.limit)).mappings()
        return [_piece(dict(row)) for row in rows]

    def count(self, tenant: str) -> int:
        """Return how many pieces are expected, free or reserved; nobody else adds any before this change ends."""
        if self._postgresql:
            self._connection.execute(select(func.pg_advisory_xact_lock(func.hashtext(f"rack {tenant}"))))
        there = [PieceState.EXPECTED.value, PieceState.FREE.value, PieceState.RESERVED.value]
        query = select(func.count()).where(PIECES.c.tenant == tenant, PIECES.c.state.in_(there))
        return int(self._connection.scalar(query) or 0)

    def add(self, pieces: Sequence[RackPiece]) -> None:
        """Add pieces."""
        if pieces:
            rows = [asdict(piece) | {"state": piece.state.value} for piece in pieces]
            self._connection.execute(insert(PIECES), rows)

    def save(self, piece: RackPiece) -> None:
        """Replace a piece."""
        row = asdict(piece) | {"state": piece.state.value}
        self._connection.execute(update(PIECES).where(PIECES.c.id == piece.id).values(row))

    def forget_origin(self, piece: RackPiece) -> None:
        """Forget which job left a piece over."""
        self._connection.execute(update(PIECES).where(PIECES.c.id == piece.id).values(origin=""))

    def remove(self, piece: RackPiece) -> None:
        """Remove a piece that never came to lie here."""
        self._connection.execute(delete(PIECES).where(PIECES.c.id == piece.id))

    def note_promise(self, tenant: str, job: str) -> None:
        """Note that a promise to a job waits to be settled."""
        self.settled(tenant, job)
        self._connection.execute(insert(PROMISES).values(tenant=tenant, job=job, since=self.now()))

    def settled(self, tenant: str, job: str) -> None:
        """Note that no promise to a job waits any more."""
        self._connection.execute(delete(PROMISES).where(PROMISES.c.tenant == tenant, PROMISES.c.job == job))

    def promised_before(self, when: float) -> list[tuple[str, str]]:
        """Return tenant and job of some promises that have waited since before then."""
        query = select(PROMISES.c.tenant, PROMISES.c.job).where(PROMISES.c.since < when)
        rows = self._connection.execute(query.order_by(PROMISES.c.since).limit(_CHUNK))
        return [(str(tenant), str(job)) for tenant, job in rows]

    def rules(self, tenant: str) -> RackRules:
        """Return a tenant's rules, the usual ones where it has set none; locked, so that a limit holds."""
        query = select(RULES).where(RULES.c.tenant == tenant).with_for_update()
        row = self._connection.execute(query).mappings().first()
        if row is None:
            return RackRules()
        return RackRules(**{name: value for name, value in row.items() if name != "tenant"})

    def set_rules(self, tenant: str, rules: RackRules) -> None:
        """Set a tenant's rules."""
        changed = self._connection.execute(update(RULES).where(RULES.c.tenant == tenant).values(asdict(rules)))
        if not changed.rowcount:
            self._connection.execute(insert(RULES).values({"tenant": tenant, **asdict(rules)}))


def _piece(row: dict[str, object]) -> RackPiece:
    row["state"] = PieceState(row["state"])
    return RackPiece(**row)  # type: ignore[arg-type]
