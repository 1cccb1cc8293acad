"""What one worker does with one claimed part: gather its input, run the guarded call, commit what came of it."""

from __future__ import annotations

import json
import threading
import time
import traceback
from collections.abc import Callable, Mapping
from datetime import UTC, datetime

import structlog

from service.engine.asking import COLUMNS, DIFFERENCE, FINDINGS, PLAN_RECORD, PROBLEM, RACK, REFUSAL, Allowance
from service.engine.bundle import pack, unpack
from service.engine.calls import Answered, Call, Crashed, Lost, Outcome, OutOfMemory, Overran, Raised, Stopped
from service.engine.engines import Engine
from service.engine.side_by_side import failure_words
from service.errors import RackError, StaleClaimError, StoreDownError
from service.jobs.bench import Bench, NewPart
from service.jobs.files import FileStore
from service.jobs.leftovers import Leftovers, NoLeftovers
from service.jobs.records import SEVERAL, Attachment, Claim, Job, Task
from service.leftovers.records import RackPiece
from service.leftovers.settlement import Settlement
from service.measures import Measures
from service.planning import weight
from service.record_json import from_json, to_json
from service.sheets.findings import Finding
from solver.limits import Progress
from solver.parts import Group
from solver.parts import Part as SolverPart

_LOG = structlog.get_logger()
_PROGRESS_EVERY_SECONDS = 1.0
_MOST_ROUNDS = 5
"""How often a job may lose its leftovers to another one before it is planned without the rack."""
_STORE_RETRY_SECONDS = (0.2, 0.5, 1, 2, 5)


class Worker:
    """Does parts, one after the other; several threads may share one worker."""

    def __init__(
        self,
        bench: Bench,
        files: FileStore,
        engine: Engine,
        allowance: Allowance,
        measures: Measures,
        leftovers: Leftovers | None = None,
    ) -> None:
        self._bench = bench
        self._files = files
        self._engine = engine
        self._allowance = allowance
        self._measures = measures
        self._leftovers = leftovers or NoLeftovers()

    def do(self, claim: Claim, unwanted: threading.Event, leaving: threading.Event) -> None:
        """Do a part to its end.

        ``unwanted`` is set when the claim no longer holds, ``leaving`` when this
        process is about to stop: then the part is given back.
        """
        log = _LOG.bind(job=claim.job.id, part=claim.part.name, task=claim.part.task.value, fence=claim.fence)
        started = time.monotonic()
        outcome = self._outcome(claim, lambda: unwanted.is_set() or leaving.is_set())
        took, how = time.monotonic() - started, type(outcome).__name__
        self._measures.parts.labels(claim.part.task.value, how.lower()).observe(took)
        log = log.bind(outcome=how, seconds=round(took, 3))
        if unwanted.is_set():
            log.info("part no longer wanted")
            return
        try:
            try:
                self._insist(lambda: self._commit(claim, outcome, log), unwanted, leaving)
            except StaleClaimError:
                raise
            except Exception as error:
                # Handed out again it would go the same way, for ever.
                spoilt = Raised("".join(traceback.format_exception(error)))
                self._insist(lambda: self._commit(claim, spoilt, log), unwanted, leaving)
        except StaleClaimError:
            log.info("part was handed to somebody else")

    def _outcome(self, claim: Claim, stop: Callable[[], bool]) -> Outcome:
        try:
            call = self._call(claim)
        except (OSError, StoreDownError) as error:
            return Lost(f"the input could not be read: {error}")
        except Exception:
            return Raised(traceback.format_exc())
        return self._engine.run(call, stop, _Reporter(self._bench, claim))

    def _call(self, claim: Claim) -> Call:
        job, part = claim.job, claim.part
        match part.task:
            case Task.CHECK:
                remembered = self._bench.remembered_columns(job.tenant) | job.settings.remembered_columns
                settings = job.settings.model_copy(update={"remembered_columns": remembered})
                return self._allowance.check(settings, self._uploaded(job), self._rack(job))
            case Task.SOLVE:
                return self._allowance.solve(job.settings, self._files.get(part.payload))
            case Task.ASSEMBLE:
                groups = {solved.name: self._files.get(solved.answer) for solved in self._bench.answers(job.id)}
                return self._allowance.assemble(job.settings, self._files.get(part.payload), groups)
            case Task.PAPERS:
                problem, plan = self._files.get(job.problem), self._files.get(part.payload)
                day = datetime.fromtimestamp(job.created, UTC).date()
                return self._allowance.write_papers(job.settings, problem, plan, job.id, day)
            case Task.REVISE:
                asked = unpack(self._files.get(part.payload))
                asked["handed_over"] = self._handed_over(job)
                return self._allowance.revise(job.settings, asked, self._rack(job), job.chain)
            case Task.ANSWER:
                asked = unpack(self._files.get(part.payload))
                asked["handed_over"] = self._handed_over(job)
                asked["job"] = job.chain.encode()
                return self._allowance.answer(job.settings, asked)

    def _handed_over(self, job: Job) -> bytes:
        return to_json(tuple[RackPiece, ...], tuple(self._leftovers.handed_over(job.tenant, job.chain)))

    def _rack(self, job: Job) -> bytes:
        """Return the leftovers a job may be planned with; one that lost them again and again goes without."""
        if not job.settings.use_rack or self._bench.rounds(job.id) >= _MOST_ROUNDS:
            return b"[]"
        return to_json(tuple[RackPiece, ...], tuple(self._leftovers.at_hand(job.tenant, job.chain)))

    def _uploaded(self, job: Job) -> bytes:
        content = self._files.get(job.upload.digest)
        return content if job.upload.name.endswith(SEVERAL) else pack({job.upload.name: content})

    def _commit(self, claim: Claim, outcome: Outcome, log: structlog.stdlib.BoundLogger) -> None:
        match outcome:
            case Answered(answer):
                try:
                    self._commit_answer(claim, unpack(answer))
                except RackError as error:
                    log.info("a leftover went to another job", why=str(error))
                    self._plan_without(claim, error)
                    return
                log.info("part done")
            case Crashed() | OutOfMemory():
                log.warning("part crashed", trace=getattr(outcome, "trace", ""))
                if self._bench.crashed(claim, failure_words(outcome)):
                    self._measures.jobs.labels("failed").inc()
            case Overran() | Raised():
                log.error("part failed", trace=getattr(outcome, "trace", ""))
                self._bench.failed(claim, failure_words(outcome))
                self._measures.jobs.labels("failed").inc()
            case Stopped():
                log.info("part given back")
                self._bench.given_back(claim)
            case Lost(why):
                log.warning("engine lost a part", why=why)
                self._bench.given_back(claim, blameless=False)

    def _commit_answer(self, claim: Claim, answer: dict[str, bytes]) -> None:
        if set(answer) <= REFUSAL:
            findings = from_json(tuple[Finding, ...], answer.pop(FINDINGS))
            self._bench.refused(claim, findings, self._kept(answer))
            self._measures.jobs.labels("refused").inc()
            return
        rack = self._promised(claim, answer) if RACK in answer else None
        match claim.part.task:
            case Task.CHECK:
                findings = from_json(tuple[Finding, ...], answer.pop(FINDINGS))
                name = answer.pop("name").decode()
                columns = json.loads(answer.pop(COLUMNS, b"{}"))
                problem = self._files.put(answer.pop("problem"))
                parts = [self._new_part(name, content) for name, content in answer.items()]
                self._bench.checked(claim, findings, problem, parts, name, columns)
            case Task.SOLVE:
                proof = from_json(Group, answer["group"]).proof
                self._measures.gaps.observe((proof.cost - proof.bound) / max(proof.cost, 1))
                self._bench.solved(claim, self._files.put(answer["group"]), proof.cost, proof.bound)
            case Task.ASSEMBLE:
                plan = self._files.put(answer.pop(PLAN_RECORD))
                self._bench.assembled(claim, plan, self._kept(answer))
                self._settled(claim, rack)
            case Task.PAPERS:
                self._bench.papers_written(claim, self._kept(answer))
                self._measures.jobs.labels("done").inc()
            case Task.REVISE:
                problem = self._files.put(answer.pop(PROBLEM))
                self._bench.finished(claim, problem, self._kept(answer), _named(claim.job, answer))
                self._settled(claim, rack)
                self._measures.jobs.labels("done").inc()
            case Task.ANSWER:
                self._bench.finished(claim, "", self._kept(answer))
                self._measures.jobs.labels("done").inc()

    def _plan_without(self, claim: Claim, error: RackError) -> None:
        """Plan a job again whose leftovers another one got first.

        A revision whose own plan counts on a piece that is gone cannot do without
        it by itself: somebody has to say so.
        """
        if claim.part.task is Task.ASSEMBLE:
            self._bench.beaten(claim)
        elif claim.part.deliveries <= _MOST_ROUNDS:
            self._bench.given_back(claim)
        else:
            self._bench.failed(claim, f"{error}; where the plan counts on such a piece, report it as not there")
            self._measures.jobs.labels("failed").inc()

    def _promised(self, claim: Claim, answer: Mapping[str, bytes]) -> Settlement:
        """Have the rack promise what a plan takes, before the plan is committed.

        Raises
        ------
        RackError
            If another job was faster, or a leftover of this one was confirmed
            meanwhile; nothing is promised then.
        """
        settlement: Settlement = from_json(Settlement, answer[RACK])
        first = claim.part.task is Task.ASSEMBLE
        self._leftovers.promise(claim.job.tenant, claim.job.chain, settlement, first=first)
        return settlement

    def _settled(self, claim: Claim, settlement: Settlement | None) -> None:
        """Tell the rack, once the plan is committed, what it does not take and what it leaves over."""
        if settlement is None:
            return
        for pause in (*_STORE_RETRY_SECONDS, None):
            try:
                left_out = self._leftovers.settle(claim.job.tenant, claim.job.chain, settlement)
            except StoreDownError as error:
                # The plan is committed; the sweep settles what stays unsettled.
                _LOG.warning("the rack cannot be told yet", job=claim.job.id, why=str(error))
                if pause is None:
                    return
                time.sleep(pause)
                continue
            if left_out:
                _LOG.warning("the rack is full", job=claim.job.id, left_out=left_out)
            return

    def _kept(self, documents: Mapping[str, bytes]) -> list[Attachment]:
        return [
            Attachment(name=name, digest=self._files.put(content), size=len(content))
            for name, content in documents.items()
        ]

    def _new_part(self, name: str, content: bytes) -> NewPart:
        return NewPart(name=name, payload=self._files.put(content), weight=weight(from_json(SolverPart, content)))

    @staticmethod
    def _insist(commit: Callable[[], None], unwanted: threading.Event, leaving: threading.Event) -> None:
        """Commit, again and again while the store or the disk does not answer: work that is done is not thrown away."""
        pauses = iter(_STORE_RETRY_SECONDS)
        pause = 0.0
        while True:
            try:
                commit()
                return
            except (StoreDownError, OSError) as error:
                pause = next(pauses, pause)
                _LOG.warning("cannot commit yet", why=str(error), next_try_seconds=pause)
                if unwanted.wait(pause) or leaving.is_set():
                    return


def _named(job: Job, answer: Mapping[str, bytes]) -> str:
    """Return the name of a revision: that of its first job and its number."""
    number = json.loads(answer[DIFFERENCE])["revision"]
    return f"{job.name.rpartition(', ')[0]}, revision {number}"


class _Reporter:
    """Passes a part's progress to the bench, at most once a second; a failure to do so harms nobody."""

    def __init__(self, bench: Bench, claim: Claim) -> None:
        self._bench = bench
        self._claim = claim
        self._next_at = 0.0

    def __call__(self, report: bytes) -> None:
        now = time.monotonic()
        if now < self._next_at:
            return
        self._next_at = now + _PROGRESS_EVERY_SECONDS
        try:
            progress: Progress = from_json(Progress, report)
            self._bench.progress(self._claim, progress.cost, progress.bound)
        except (StaleClaimError, StoreDownError, ValueError) as error:
            _LOG.info("progress not noted", part=self._claim.part.name, why=str(error))
