"""What callers may ask once a plan is there: work for the queue, and quick looks that a few may take at once."""

from __future__ import annotations

import json
import threading
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from service.engine.asking import FINDINGS, RACK, Allowance
from service.engine.bundle import pack, unpack
from service.engine.calls import Answered, Call
from service.engine.engines import Engine
from service.engine.guard import never, unheard
from service.engine.side_by_side import failure_words
from service.errors import BusyError, MoveError, PartFailedError, RackError, RefusedError
from service.job_settings import JobSettings
from service.jobs.desk import Desk
from service.jobs.files import FileStore
from service.jobs.following import Follow, FollowDesk
from service.jobs.leftovers import Leftovers
from service.jobs.records import SEVERAL, Attachment, Job, JobKind, JobState
from service.leftovers.records import NewPiece, RackPiece
from service.leftovers.settlement import Settlement
from service.record_json import from_json, to_json
from service.revisions.record import FILE_NAME
from service.sheets.findings import Finding
from service.sheets.leftover_list import LeftoverRow
from solver.lengths import Unit

LONGEST_SECONDS = 600.0
_QUICK_LOOKS = 2
"""How many quick looks run at once; more would leave too few threads for everybody else's requests."""
_QUICK_SECONDS = 1.0
_WAIT_SECONDS = 5.0

EventRow = Mapping[str, str | int | float | None]


@dataclass(frozen=True, kw_only=True, slots=True)
class _Office:
    desk: Desk
    follow: FollowDesk
    files: FileStore
    engine: Engine
    allowance: Allowance
    leftovers: Leftovers


class AfterPlan:
    """Revisions, questions and quick looks; what takes longer than a moment becomes a job."""

    def __init__(
        self,
        *,
        desk: Desk,
        follow: FollowDesk,
        files: FileStore,
        engine: Engine,
        allowance: Allowance,
        leftovers: Leftovers,
    ) -> None:
        self._office = _Office(
            desk=desk, follow=follow, files=files, engine=engine, allowance=allowance, leftovers=leftovers
        )
        self._quick = threading.BoundedSemaphore(_QUICK_LOOKS)

    def revise(
        self,
        tenant: str,
        job_id: str,
        events: Sequence[EventRow],
        *,
        price: str = "0",
        seconds: float | None = None,
        key: str | None = None,
    ) -> Job:
        """Queue the next revision of a job.

        Raises
        ------
        MoveError
            If the job has no plan yet, or was revised already.
        """
        job, revision = self._planned(tenant, job_id)
        asked = {"revision": revision, "events": json.dumps(list(events)).encode(), "price": price.encode()}
        return self._follow(job, JobKind.REVISION, "next revision", asked, seconds, key)

    def events_of(self, tenant: str, job_id: str) -> list[dict[str, Any]]:
        """Return the events a revision was made from, such as to mend them when it was refused."""
        view = self._office.desk.view(tenant, job_id)
        if view.job.kind is not JobKind.REVISION or not view.parts:
            return []
        asked = unpack(self._office.files.get(view.parts[0].payload))
        events: list[dict[str, Any]] = json.loads(asked["events"])
        return events

    def ask(
        self, tenant: str, job_id: str, name: str, question: Mapping[str, Any], seconds: float | None = None
    ) -> Job:
        """Queue a question about a plan."""
        job, revision = self._planned(tenant, job_id)
        asked = {"revision": revision, "question": json.dumps(question).encode()}
        return self._follow(job, JobKind.QUESTION, name, asked, seconds, None)

    def ask_before(
        self, tenant: str, upload: Attachment, name: str, question: Mapping[str, Any], settings: JobSettings
    ) -> Job:
        """Queue a question about a job file that nobody has planned."""
        content = self._office.files.get(upload.digest)
        files = content if upload.name.endswith(SEVERAL) else pack({upload.name: content})
        payload = self._office.files.put(pack({"files": files, "question": json.dumps(question).encode()}))
        wish = Follow(
            tenant=tenant,
            parent="",
            kind=JobKind.QUESTION,
            name=name,
            payload=payload,
            settings=settings,
            upload=upload,
        )
        return self._office.follow.accept(wish)

    def look(self, tenant: str, job_id: str, question: Mapping[str, Any]) -> Any:
        """Return the answer to a question that needs no search.

        Raises
        ------
        RefusedError
            If the question makes no sense for this plan; it says why.
        BusyError
            If too many look at once.
        PartFailedError
            If the child that answers failed.
        """
        job, revision = self._planned(tenant, job_id)
        settings = job.settings.model_copy(update={"seconds": _QUICK_SECONDS})
        handed_over = tuple(self._office.leftovers.handed_over(tenant, job.chain))
        asked = {
            "revision": revision,
            "question": json.dumps(question).encode(),
            "handed_over": to_json(tuple[RackPiece, ...], handed_over),
        }
        answer = self._run(self._office.allowance.answer(settings, asked))
        return json.loads(answer["answer.json"])["answer"]

    def labels(self, tenant: str, job_id: str, codes: Sequence[str]) -> bytes:
        """Return the labels of some pieces as a paper to print."""
        job, revision = self._planned(tenant, job_id)
        call = self._office.allowance.labels(job.settings, revision, json.dumps(list(codes)).encode(), job.chain)
        return self._run(call)["labels"]

    def book(self, tenant: str, job_id: str) -> None:
        """Have the rack promise what a job's plan takes, and expect what it leaves over.

        Jobs that use the rack do so by themselves; this is for those that do not.

        Raises
        ------
        RackError
            If another job has one of the pieces.
        """
        job, revision = self._planned(tenant, job_id)
        answer = self._run(self._office.allowance.settle(revision))
        settled: Settlement = from_json(Settlement, answer[RACK])
        self._office.leftovers.promise(tenant, job.chain, settled)
        self._office.leftovers.settle(tenant, job.chain, settled)

    def give_back(self, tenant: str, job_id: str) -> Sequence[RackPiece]:
        """Free what a job has reserved on the rack, such as when nobody wants it any more; return these pieces.

        Leftovers of sticks that are cut already stay expected.
        """
        latest = self.chain(tenant, job_id)[-1]
        revision = self.document(latest, FILE_NAME)
        lying: Sequence[NewPiece] = ()
        if revision is not None:
            meant: Settlement = from_json(Settlement, self._run(self._office.allowance.settle(revision))[RACK])
            lying = meant.lying
        return self._office.leftovers.release(tenant, latest.chain, lying)

    def rows_of_sheet(self, name: str, content: bytes) -> list[dict[str, str]]:
        """Return the rows of a sheet of events, or of scanned codes.

        Raises
        ------
        RefusedError
            If it is none; it says why.
        """
        rows: list[dict[str, str]] = json.loads(self._run(self._office.allowance.event_rows({name: content}))["rows"])
        return rows

    def leftovers_of_sheet(
        self, name: str, content: bytes, unit: Unit
    ) -> tuple[tuple[LeftoverRow, ...], tuple[Finding, ...]]:
        """Return the rows of a list of leftovers, and what stands in their way; bare numbers are in ``unit``."""
        answer = self._run(self._office.allowance.leftover_rows(name, content, unit.value))
        rows: tuple[LeftoverRow, ...] = from_json(tuple[LeftoverRow, ...], answer["rows"])
        return rows, from_json(tuple[Finding, ...], answer["found"])

    def chain(self, tenant: str, job_id: str) -> list[Job]:
        """Return the revisions of a job's chain that hold, the first plan first."""
        return self._office.follow.chain(tenant, job_id)

    def take_back(self, tenant: str, job_id: str) -> Job:
        """Take the latest revision back; the one before holds again, for the rack too.

        Raises
        ------
        MoveError
            If it is no finished revision, or not the latest; or if a leftover that
            the plan before cuts was freed by it and has gone to another job since.
        """
        chain = self.chain(tenant, job_id)
        settlement = self._have_back(tenant, chain, job_id)
        try:
            back, parent = self._office.follow.take_back(tenant, job_id)
        except MoveError:
            if settlement is not None and (now := self._settlement(chain[-1])) is not None:
                self._office.leftovers.settle(tenant, chain[-1].chain, now)
            raise
        if settlement is not None:
            self._office.leftovers.settle(tenant, back.chain, settlement)
        return parent

    def _have_back(self, tenant: str, chain: Sequence[Job], job_id: str) -> Settlement | None:
        """Have the rack promise again what the plan before the latest revision cuts; return what that plan means."""
        if len(chain) < 2 or chain[-1].id != job_id or chain[-1].state is not JobState.DONE:
            return None
        before, now = self._settlement(chain[-2]), self._settlement(chain[-1])
        if before is None:
            return None
        lost = () if now is None else now.gone
        wanted = replace(before, taken=tuple(one for one in before.taken if one not in lost))
        try:
            self._office.leftovers.promise(tenant, chain[-1].chain, wanted)
        except RackError as error:
            raise MoveError(f"the plan before counts on leftovers that it cannot have back: {error}") from error
        return before

    def _settlement(self, job: Job) -> Settlement | None:
        """Return what a job's plan means for the rack; None if the rack knows nothing of its chain."""
        content = self.document(job, RACK)
        revision = self.document(job, FILE_NAME)
        if content is None and revision is not None and self._office.leftovers.handed_over(job.tenant, job.chain):
            content = self._run(self._office.allowance.settle(revision))[RACK]
        return None if content is None else from_json(Settlement, content)

    def document(self, job: Job, name: str) -> bytes | None:
        """Return a document of a job, or None if it has none of that name."""
        digest = next((d.digest for d in job.documents if d.name == name), None)
        return None if digest is None else self._office.files.get(digest)

    def _planned(self, tenant: str, job_id: str) -> tuple[Job, bytes]:
        job = self._office.desk.job(tenant, job_id)
        revision = self.document(job, FILE_NAME)
        if revision is None:
            raise MoveError(f"the job is {job.state.value}; it can be revised once it has a plan")
        return job, revision

    def _follow(
        self,
        job: Job,
        kind: JobKind,
        name: str,
        asked: Mapping[str, bytes],
        seconds: float | None,
        key: str | None,
    ) -> Job:
        settings = job.settings
        if seconds is not None:
            work = max(1, round(settings.work * seconds / settings.seconds))
            settings = settings.model_copy(update={"seconds": seconds, "work": work})
        wish = Follow(
            tenant=job.tenant,
            parent=job.id,
            kind=kind,
            name=name,
            payload=self._office.files.put(pack(asked)),
            settings=settings,
            key=key,
        )
        return self._office.follow.accept(wish)

    def _run(self, call: Call) -> dict[str, bytes]:
        if not self._quick.acquire(timeout=_WAIT_SECONDS):
            raise BusyError("others are looking at their plans just now; ask again in a moment")
        try:
            outcome = self._office.engine.run(call, never, unheard)
        finally:
            self._quick.release()
        if not isinstance(outcome, Answered):
            raise PartFailedError(failure_words(outcome))
        answer = unpack(outcome.answer)
        if FINDINGS in answer:
            raise RefusedError(from_json(tuple[Finding, ...], answer[FINDINGS]))
        return answer
