"""The workbench: hands out parts and takes their answers; what workers may ask for.

Only who holds a part's latest fencing token can commit an answer for it, so an
answer is committed once, however often the part was handed out.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TypeVar

from service.errors import StaleClaimError
from service.jobs.hooks import announce
from service.jobs.records import Attachment, Claim, Job, JobState, Part, PartState, Task
from service.jobs.store import JobStore, Ledger
from service.jobs.turns import turns
from service.sheets.findings import Finding, Verdict

Result = TypeVar("Result")

MOST_CRASHES = 3
FINDINGS_KEPT = 1_000
JOBS_REMEMBERED = 20
"""Latest planned jobs of a tenant whose column mappings are used again."""
LONGEST_NAME = 200
_LONGEST_DELAY_SECONDS = 60.0
_PLANNED = (JobState.SOLVING, JobState.DONE)


@dataclass(frozen=True, kw_only=True, slots=True)
class NewPart:
    """A part as the check splits it off: its name, the digest of its content, the pieces it cuts."""

    name: str
    payload: str
    weight: int


class Bench:
    """Every method is one transaction. ``lease_seconds`` is how long a silent worker keeps its parts."""

    def __init__(self, store: JobStore, *, lease_seconds: float = 15.0) -> None:
        self._store = store
        self.lease_seconds = lease_seconds

    def claim(self, owner: str, most_weight: int | None = None) -> Claim | None:
        """Return the part whose turn it is, with its job, or None if none is ready.

        With ``most_weight`` only a part of at most that many pieces is handed out.
        """

        def work(ledger: Ledger) -> Claim | None:
            part = ledger.claim(owner, self.lease_seconds, most_weight)
            if part is None:
                return None
            job = ledger.job(part.job)
            if job is None or job.state.ended:
                return None
            if job.state is JobState.QUEUED:
                state = JobState.CHECKING if part.task is Task.CHECK else JobState.SOLVING
                job = job.moved(state, ledger.now())
            else:
                job = job.touched(ledger.now())
            ledger.save_job(job)
            return Claim(part=part, job=job)

        return self._store.change(work)

    def answers(self, job_id: str) -> list[Part]:
        """Return a job's parts solved since it was last checked, by number."""
        parts = self._store.look(lambda ledger: ledger.parts(job_id))
        checked = max((part.number for part in parts if part.task is Task.CHECK), default=-1)
        return [part for part in parts if part.task is Task.SOLVE and part.number > checked]

    def rounds(self, job_id: str) -> int:
        """Return how often a job was planned and lost its leftovers to another one."""
        parts = self._store.look(lambda ledger: ledger.parts(job_id))
        return sum(part.task is Task.ASSEMBLE and part.state is PartState.DONE and not part.answer for part in parts)

    def lost(self, claims: Collection[Claim]) -> set[str]:
        """Return the ids of claimed parts that are no longer wanted from these claims."""
        fences = self._store.look(lambda ledger: ledger.held([claim.part.id for claim in claims]))
        return {claim.part.id for claim in claims if fences.get(claim.part.id) != claim.fence}

    def renew(self, claim: Claim) -> bool:
        """Extend a claim's lease; return False if it no longer holds."""
        return self._store.change(lambda ledger: ledger.renew(claim.part.id, claim.fence, self.lease_seconds))

    def requeue_expired(self) -> int:
        """Queue parts again whose workers have fallen silent; return how many."""
        return self._store.change(lambda ledger: ledger.requeue_expired(self.lease_seconds, _LONGEST_DELAY_SECONDS))

    def progress(self, claim: Claim, cost: int | None, bound: int | None) -> None:
        """Note how far a part has come."""

        def work(ledger: Ledger, job: Job, part: Part) -> None:
            ledger.save_part(replace(part, cost=cost, bound=bound))
            ledger.save_job(job.touched(ledger.now()))

        self._commit(claim, work)

    def remembered_columns(self, tenant: str) -> dict[str, dict[str, str]]:
        """Return the column mappings that a tenant's latest jobs were given, by the shape of their tables."""
        jobs = self._store.look(lambda ledger: ledger.jobs(tenant, _PLANNED, None, JOBS_REMEMBERED))
        found: dict[str, dict[str, str]] = {}
        for job in jobs:
            for shape, columns in job.settings.remembered_columns.items():
                found.setdefault(shape, columns)
        return found

    def checked(
        self,
        claim: Claim,
        findings: Sequence[Finding],
        problem: str,
        parts: Sequence[NewPart],
        name: str = "",
        columns: Mapping[str, Mapping[str, str]] | None = None,
    ) -> None:
        """Commit a check: nothing stands in the way, so the parts are queued to be solved.

        The job may get its name; ``columns`` is the user's mapping by the shape of its table, kept with the job.
        """

        def work(ledger: Ledger, job: Job, part: Part) -> None:
            now = ledger.now()
            ledger.save_part(replace(part, state=PartState.DONE, answer=problem, ended=now))
            solving = job.moved(JobState.SOLVING, now)
            named = name[:LONGEST_NAME] or job.name
            settings = job.settings
            if columns:
                known = settings.remembered_columns | {shape: dict(words) for shape, words in columns.items()}
                settings = settings.model_copy(update={"remembered_columns": known})
            ledger.save_job(replace(solving, findings=kept(findings), problem=problem, name=named, settings=settings))
            heaviest_first = sorted(parts, key=lambda new: -new.weight)
            weights = [new.weight for new in heaviest_first]
            numbered = zip(
                heaviest_first, turns(ledger.next_turn(), ledger.active_jobs(job.tenant), weights), strict=True
            )
            turn_of = {new.name: turn for new, turn in numbered}
            ledger.add_parts(
                [
                    _part(job, Task.SOLVE, part.number + 1 + number, turn_of[new.name], new, now)
                    for number, new in enumerate(parts)
                ]
            )

        self._commit(claim, work)

    def refused(self, claim: Claim, findings: Sequence[Finding], documents: Sequence[Attachment] = ()) -> None:
        """Commit that a job cannot be planned as it stands: it fails, or waits if only answers are missing.

        ``documents`` are what helps to mend it: the user's own file with its faults marked.
        """

        def work(ledger: Ledger, job: Job, part: Part) -> None:
            now = ledger.now()
            errors = any(finding.verdict is Verdict.ERROR for finding in findings)
            questions = any(finding.verdict is Verdict.QUESTION for finding in findings)
            if part.task is Task.CHECK and questions and not errors:
                ledger.save_part(replace(part, state=PartState.DONE, ended=now))
                waiting = replace(job.moved(JobState.WAITING, now), findings=kept(findings), documents=tuple(documents))
                ledger.save_job(waiting)
                announce(ledger, waiting)
                return
            ledger.save_part(
                replace(part, state=PartState.FAILED, ended=now, trouble="the job cannot be planned as it stands")
            )
            known = job.findings if part.task is not Task.CHECK else ()
            trouble = "The job cannot be planned as it stands; the findings say why."
            failed = replace(
                job.moved(JobState.FAILED, now),
                findings=kept((*findings, *known)),
                trouble=trouble,
                documents=tuple(documents),
            )
            ledger.save_job(failed)
            ledger.cancel_open_parts(job.id)
            announce(ledger, failed)

        self._commit(claim, work)

    def solved(self, claim: Claim, answer: str, cost: int | None = None, bound: int | None = None) -> None:
        """Commit a part's answer with its proof; after the last one the plan is queued to be assembled."""

        def work(ledger: Ledger, job: Job, part: Part) -> None:
            now = ledger.now()
            ledger.save_part(replace(part, state=PartState.DONE, answer=answer, ended=now, cost=cost, bound=bound))
            ledger.save_job(job.touched(now))
            if not ledger.has_open_parts(job.id):
                last = ledger.parts(job.id)[-1]
                new = NewPart(name="assemble", payload=job.problem, weight=1)
                ledger.add_parts([_part(job, Task.ASSEMBLE, last.number + 1, ledger.next_turn(), new, now)])

        self._commit(claim, work)

    def beaten(self, claim: Claim) -> None:
        """Commit that another job got a leftover first: the job is checked and planned again with what is left."""

        def work(ledger: Ledger, job: Job, part: Part) -> None:
            now = ledger.now()
            ledger.save_part(replace(part, state=PartState.DONE, ended=now))
            ledger.save_job(job.moved(JobState.QUEUED, now))
            new = NewPart(name="check", payload=job.upload.digest, weight=1)
            ledger.add_parts([_part(job, Task.CHECK, part.number + 1, ledger.next_turn(), new, now)])

        self._commit(claim, work)

    def finished(self, claim: Claim, problem: str, documents: Sequence[Attachment], name: str = "") -> None:
        """Commit a revision or an answer whole: the job is done."""

        def work(ledger: Ledger, job: Job, part: Part) -> None:
            now = ledger.now()
            ledger.save_part(replace(part, state=PartState.DONE, ended=now))
            done = replace(
                job.moved(JobState.DONE, now),
                problem=problem,
                documents=tuple(documents),
                name=name[:LONGEST_NAME] or job.name,
            )
            ledger.save_job(done)
            announce(ledger, done)

        self._commit(claim, work)

    def assembled(self, claim: Claim, plan: str, documents: Sequence[Attachment]) -> None:
        """Commit a plan, as a record and its documents; its papers are queued to be written."""

        def work(ledger: Ledger, job: Job, part: Part) -> None:
            now = ledger.now()
            ledger.save_part(replace(part, state=PartState.DONE, answer=plan, ended=now))
            ledger.save_job(replace(job.touched(now), documents=tuple(documents)))
            new = NewPart(name="papers", payload=plan, weight=1)
            ledger.add_parts([_part(job, Task.PAPERS, part.number + 1, ledger.next_turn(), new, now)])

        self._commit(claim, work)

    def papers_written(self, claim: Claim, papers: Sequence[Attachment]) -> None:
        """Commit the papers of a plan: the job is done."""

        def work(ledger: Ledger, job: Job, part: Part) -> None:
            now = ledger.now()
            ledger.save_part(replace(part, state=PartState.DONE, ended=now))
            done = replace(job.moved(JobState.DONE, now), documents=(*job.documents, *papers))
            ledger.save_job(done)
            announce(ledger, done)

        self._commit(claim, work)

    def failed(self, claim: Claim, words: str) -> None:
        """Commit that a part failed for good: its job fails and names it."""
        self._commit(claim, lambda ledger, job, part: _fail(ledger, job, part, words))

    def crashed(self, claim: Claim, words: str) -> bool:
        """Count a crash: the part is queued again, or fails for good after its third; return whether it failed."""

        def work(ledger: Ledger, job: Job, part: Part) -> bool:
            part = replace(part, crashes=part.crashes + 1)
            if part.crashes >= MOST_CRASHES:
                _fail(ledger, job, part, f"{words} (tried {part.crashes} times)")
                return True
            ledger.save_part(_queued(part, ledger.now() + part.crashes))
            ledger.save_job(job.touched(ledger.now()))
            return False

        return self._commit(claim, work)

    def given_back(self, claim: Claim, *, blameless: bool = True) -> None:
        """Put a part back that its worker could not finish, at once or after a growing delay."""

        def work(ledger: Ledger, job: Job, part: Part) -> None:
            delay = 0.0 if blameless else min(2.0 ** min(part.deliveries, 10), _LONGEST_DELAY_SECONDS)
            ledger.save_part(_queued(part, ledger.now() + delay))
            ledger.save_job(job.touched(ledger.now()))

        self._commit(claim, work)

    def _commit(self, claim: Claim, work: Callable[[Ledger, Job, Part], Result]) -> Result:
        def guarded(ledger: Ledger) -> Result:
            job = ledger.job(claim.job.id)
            part = ledger.part(claim.part.id)
            if job is None or part is None or part.fence != claim.fence or part.state is not PartState.RUNNING:
                raise StaleClaimError(f"{claim.part.name}: handed to somebody else, or no longer wanted")
            return work(ledger, job, part)

        return self._store.change(guarded)


def kept(findings: Sequence[Finding]) -> tuple[Finding, ...]:
    """Return the findings that are kept with a job: errors first where there are too many to keep all."""
    if len(findings) <= FINDINGS_KEPT:
        return tuple(findings)
    gravest = (Verdict.ERROR, Verdict.QUESTION, Verdict.NOTICE)
    chosen = sorted(findings, key=lambda finding: gravest.index(finding.verdict))[: FINDINGS_KEPT - 1]
    more = f"{len(findings) - len(chosen)} more findings are not listed; mend these first"
    return (*chosen, Finding(sheet="", cell="", verdict=Verdict.NOTICE, message=more))


def _fail(ledger: Ledger, job: Job, part: Part, words: str) -> None:
    now = ledger.now()
    ledger.save_part(replace(part, state=PartState.FAILED, ended=now, trouble=words))
    if job.state is JobState.QUEUED:
        job = job.moved(JobState.CHECKING, now)
    failed = replace(job.moved(JobState.FAILED, now), trouble=f"{part.name}: {words}")
    ledger.save_job(failed)
    ledger.cancel_open_parts(job.id)
    announce(ledger, failed)


def _queued(part: Part, not_before: float) -> Part:
    return replace(part, state=PartState.QUEUED, owner="", not_before=not_before)


def _part(job: Job, task: Task, number: int, turn: int, new: NewPart, now: float) -> Part:
    return Part(
        id=f"{job.id}-{number}",
        job=job.id,
        tenant=job.tenant,
        number=number,
        name=new.name,
        task=task,
        turn=turn,
        weight=new.weight,
        payload=new.payload,
        queued=now,
    )
