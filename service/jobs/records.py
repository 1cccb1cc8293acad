"""A job and its parts, the states they can be in, and the moves between them: written once, here.

::

    queued -> checking -> solving -> done
                |  ^         |
                v  |         v
              waiting     failed, cancelled (from every state that is not an end)

A job whose leftovers another job got first goes from solving back to queued;
a revision or a question has no file to check and goes from queued to solving.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from enum import Enum

from service.errors import MoveError
from service.job_settings import JobSettings
from service.sheets.findings import Finding


class JobState(Enum):
    """Where a job stands."""

    QUEUED = "queued"
    CHECKING = "checking"
    WAITING = "waiting"
    """For a person's answers to open questions."""
    SOLVING = "solving"
    DONE = "done"
    FAILED = "failed"
    CANCELLED = "cancelled"

    @property
    def ended(self) -> bool:
        """Whether nothing happens to the job any more."""
        return not _JOB_MOVES[self]


_JOB_MOVES: dict[JobState, frozenset[JobState]] = {
    JobState.QUEUED: frozenset({JobState.CHECKING, JobState.SOLVING, JobState.FAILED, JobState.CANCELLED}),
    JobState.CHECKING: frozenset({JobState.WAITING, JobState.SOLVING, JobState.FAILED, JobState.CANCELLED}),
    JobState.WAITING: frozenset({JobState.QUEUED, JobState.FAILED, JobState.CANCELLED}),
    JobState.SOLVING: frozenset({JobState.QUEUED, JobState.DONE, JobState.FAILED, JobState.CANCELLED}),
    JobState.DONE: frozenset(),
    JobState.FAILED: frozenset(),
    JobState.CANCELLED: frozenset(),
}


class PartState(Enum):
    """Where a part stands."""

    QUEUED = "queued"
    RUNNING = "running"
    DONE = "done"
    FAILED = "failed"
    CANCELLED = "cancelled"

    @property
    def ended(self) -> bool:
        """Whether nothing happens to the part any more."""
        return self in {PartState.DONE, PartState.FAILED, PartState.CANCELLED}


class Task(Enum):
    """What is to be done for a part."""

    CHECK = "check"
    SOLVE = "solve"
    ASSEMBLE = "assemble"
    PAPERS = "papers"
    REVISE = "revise"
    ANSWER = "answer"


class JobKind(Enum):
    """What a job is for."""

    PLAN = "plan"
    REVISION = "revision"
    """The next plan of a job after something happened."""
    QUESTION = "question"
    """A question about a plan; its answer is a document."""


SEVERAL = " files/"
"""How the name of an upload ends that is a bundle of several job files; no file's own name can end in a slash."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Attachment:
    """A file of a job in the file store, by the hash of its content."""

    name: str
    digest: str
    size: int


@dataclass(frozen=True, kw_only=True, slots=True)
class Job:
    """What the service keeps about one uploaded job file.

    Times are seconds since 1970. ``version`` grows with every change that a
    caller can see. ``problem`` is the digest of the problem as read, empty
    before that. ``trouble`` says in words why a job failed. ``documents`` are
    there as soon as they are written: the plan's before the job is done.
    ``parent`` is the job that a revision or question was made from, ``root`` the
    first job of that chain; both are empty for a first plan.
    """

    id: str
    tenant: str
    name: str
    settings: JobSettings
    upload: Attachment
    created: float
    changed: float
    state: JobState = JobState.QUEUED
    version: int = 1
    findings: tuple[Finding, ...] = ()
    trouble: str = ""
    problem: str = ""
    documents: tuple[Attachment, ...] = ()
    kind: JobKind = JobKind.PLAN
    parent: str = ""
    root: str = ""

    @property
    def chain(self) -> str:
        """The id of the first job of the chain: what its leftovers on the rack are promised to."""
        return self.root or self.id

    def moved(self, state: JobState, now: float) -> Job:
        """Return the job in another state.

        Raises
        ------
        MoveError
            If that state cannot follow the present one.
        """
        if state not in _JOB_MOVES[self.state]:
            stays = "; what it has reserved on the rack is given back there" if self.state is JobState.DONE else ""
            raise MoveError(f"a job that is {self.state.value} cannot become {state.value}{stays}")
        return replace(self, state=state, changed=now, version=self.version + 1)

    def touched(self, now: float) -> Job:
        """Return the job after a change that a caller can see."""
        return replace(self, changed=now, version=self.version + 1)


@dataclass(frozen=True, kw_only=True, slots=True)
class Part:
    """One piece of work for a job, done by one guarded call.

    ``turn`` orders the queue: least first. ``payload`` and ``answer`` are digests
    in the file store. ``queued`` is when the part was first queued. ``fence`` grows
    with every delivery; only who holds the latest may commit. ``deliveries`` counts hand-outs,
    ``crashes`` only those in which the part killed its child. ``cost`` and
    ``bound`` are progress.
    """

    id: str
    job: str
    tenant: str
    number: int
    name: str
    task: Task
    turn: int
    weight: int = 1
    state: PartState = PartState.QUEUED
    payload: str = ""
    answer: str = ""
    owner: str = ""
    leased_until: float = 0.0
    queued: float = 0.0
    not_before: float = 0.0
    fence: int = 0
    deliveries: int = 0
    crashes: int = 0
    cost: int | None = None
    bound: int | None = None
    trouble: str = ""
    started: float | None = None
    ended: float | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class Claim:
    """A part in somebody's hands, proven by its fencing token."""

    part: Part
    job: Job = field(repr=False)

    @property
    def fence(self) -> int:
        """The token: a later claim of the same part has a greater one."""
        return self.part.fence


@dataclass(frozen=True, kw_only=True, slots=True)
class ApiKey:
    """A key as kept: ``digest`` is the SHA-256 of its secret, ``revoked`` the time it was revoked."""

    id: str
    tenant: str
    digest: str
    created: float
    note: str = ""
    revoked: float | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class Hook:
    """A webhook: where a tenant wants to be told, and the secret that letters to it are signed with.

    It gets one letter at a time and none before ``resting_until``; ``failures``
    counts those in a row that did not arrive.
    """

    id: str
    tenant: str
    url: str
    secret: str = field(repr=False)
    created: float
    resting_until: float = 0.0
    failures: int = 0


@dataclass(frozen=True, kw_only=True, slots=True)
class Letter:
    """What a webhook is told, until it has taken it; ``next_at`` is when it is tried next, ``written`` its age."""

    id: str
    hook: str
    body: str
    next_at: float
    tries: int = 0
    written: float = 0.0
