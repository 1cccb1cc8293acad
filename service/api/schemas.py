"""What the API says about jobs, and how records become that."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Literal

from pydantic import BaseModel, ConfigDict, Field
from pydantic.config import JsonDict

from service.deliverables import MEDIA_TYPES
from service.jobs.desk import JobView
from service.jobs.records import Job, Part
from service.sheets.findings import Finding

StateWord = Literal["queued", "checking", "waiting", "solving", "done", "failed", "cancelled"]
KindWord = Literal["plan", "revision", "question"]

_PART_EXAMPLE: JsonDict = {
    "name": "rails standard white",
    "task": "solve",
    "state": "running",
    "gap_percent": 0.216,
}
_PROBLEM_EXAMPLE: JsonDict = {
    "id": "openings!C7",
    "sheet": "openings",
    "cell": "C7",
    "verdict": "question",
    "message": "8 March is a date; was 3/8 in meant?",
    "proposal": "3/8",
}
JOB_EXAMPLE: JsonDict = {
    "id": "3f6c0c2a9d5b4e17a2c8d901",
    "name": "Block A",
    "state": "solving",
    "created": "2026-11-25T08:30:00Z",
    "changed": "2026-11-25T08:30:02Z",
    "version": 5,
    "progress": {"done": 1, "of": 4},
    "parts": [_PART_EXAMPLE],
    "problems": [],
    "trouble": "",
    "documents": [],
}


class PartOut(BaseModel):
    """A part of a job and how far it has come."""

    name: str = Field(description="Rails of a profile and colour, blanks of a mesh, or a step of the job.")
    task: Literal["check", "solve", "assemble", "papers", "revise", "answer"]
    state: Literal["queued", "running", "done", "failed", "cancelled"]
    gap_percent: float | None = Field(
        default=None, description="How far above the best possible the best plan so far is at most; 0 is proven."
    )
    crashes: int = Field(default=0, description="How often the part killed its process; it fails at the third.")
    trouble: str = ""


class ProblemOut(BaseModel):
    """One thing found in the job file. A question is answered by its id."""

    model_config = ConfigDict(json_schema_extra={"example": _PROBLEM_EXAMPLE})

    id: str
    sheet: str
    cell: str
    verdict: Literal["notice", "question", "error"]
    message: str
    text: str = Field(default="", description="The cell as it stood.")
    proposal: str = ""


class DocumentOut(BaseModel):
    """A document of a finished plan."""

    name: str
    media_type: str
    size: int = Field(description="In bytes.")
    href: str


class ProgressOut(BaseModel):
    """How many parts are done, of how many known so far."""

    done: int
    of: int


class JobOut(BaseModel):
    """A job as it stands."""

    model_config = ConfigDict(json_schema_extra={"example": JOB_EXAMPLE})

    id: str
    name: str
    kind: KindWord = "plan"
    parent: str = Field(default="", description="The job that a revision or question was made from.")
    state: StateWord
    created: datetime
    changed: datetime
    version: int = Field(description="Grows with every change; the entity tag follows from it.")
    progress: ProgressOut
    parts: list[PartOut]
    problems: list[ProblemOut]
    trouble: str = Field(default="", description="Why the job failed.")
    documents: list[DocumentOut]


class JobLine(BaseModel):
    """A job in a list."""

    id: str
    name: str
    kind: KindWord = "plan"
    parent: str = ""
    state: StateWord
    created: datetime
    changed: datetime
    href: str


class JobPage(BaseModel):
    """A page of jobs, newest first; ``next`` leads on and is missing on the last page."""

    jobs: list[JobLine]
    next: str | None = None


class AnswersIn(BaseModel):
    """Answers to the open questions of a job."""

    model_config = ConfigDict(
        extra="forbid", json_schema_extra={"example": {"answers": {"openings!C7": "3/8"}, "accept_proposals": True}}
    )

    answers: dict[str, str] = Field(
        default_factory=dict, description="By id of the question: the text the cell should have held."
    )
    accept_proposals: bool = Field(default=False, description="Answer every other question with its proposal.")


class Health(BaseModel):
    """Whether the service is up."""

    status: Literal["live", "ready"]


def job_out(view: JobView) -> JobOut:
    """Return a job as the API shows it."""
    job = view.job
    done = sum(number for state, number in view.counts.items() if state.ended)
    return JobOut(
        id=job.id,
        name=job.name,
        kind=job.kind.value,
        parent=job.parent,
        state=job.state.value,
        created=_time(job.created),
        changed=_time(job.changed),
        version=job.version,
        progress=ProgressOut(done=done, of=sum(view.counts.values())),
        parts=[_part_out(part) for part in view.parts],
        problems=[_problem_out(finding) for finding in job.findings],
        trouble=job.trouble,
        documents=_documents(job),
    )


def job_line(job: Job) -> JobLine:
    """Return a job as a line of a list."""
    return JobLine(
        id=job.id,
        name=job.name,
        kind=job.kind.value,
        parent=job.parent,
        state=job.state.value,
        created=_time(job.created),
        changed=_time(job.changed),
        href=f"/jobs/{job.id}",
    )


def _part_out(part: Part) -> PartOut:
    return PartOut(
        name=part.name,
        task=part.task.value,
        state=part.state.value,
        gap_percent=_gap_percent(part),
        crashes=part.crashes,
        trouble=part.trouble,
    )


def _gap_percent(part: Part) -> float | None:
    if part.cost is None or part.bound is None or part.cost < part.bound:
        return None
    if part.cost == part.bound:
        return 0.0
    return round(100 * (part.cost - part.bound) / part.bound, 3) if part.bound > 0 else None


def _problem_out(finding: Finding) -> ProblemOut:
    return ProblemOut(
        id=finding.address,
        sheet=finding.sheet,
        cell=finding.cell,
        verdict=finding.verdict.value,
        message=finding.message,
        text=finding.text,
        proposal=finding.proposal,
    )


def _documents(job: Job) -> list[DocumentOut]:
    return [
        DocumentOut(
            name=document.name,
            media_type=MEDIA_TYPES[document.name],
            size=document.size,
            href=f"/jobs/{job.id}/{document.name}",
        )
        for document in job.documents
        if document.name in MEDIA_TYPES
    ]


def _time(seconds: float) -> datetime:
    return datetime.fromtimestamp(seconds, UTC)
