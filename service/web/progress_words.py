"""How far a job has come, in words: one line for each part, one sentence for the whole."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from service.documents.certainty import percent_above
from service.jobs.desk import JobView
from service.jobs.records import Job, JobKind, JobState, Part, PartState, Task
from service.web.part_measure import PartMeasure
from service.web.shelf import has_plan

_STATES = {
    JobState.QUEUED: "Waiting for its turn",
    JobState.CHECKING: "Reading the file and checking every cell",
    JobState.WAITING: "Waiting for your answers",
    JobState.SOLVING: "Planning the cuts",
    JobState.DONE: "The cut plan is ready",
    JobState.FAILED: "This job could not be planned",
    JobState.CANCELLED: "Cancelled",
}
_FOLLOWING = {
    JobKind.REVISION: "Planning the rest again; what is cut stays.",
    JobKind.QUESTION: "Looking for the answer.",
}
_TASKS = {
    Task.CHECK: "reading and checking the file",
    Task.ASSEMBLE: "buying, checking and writing the plan",
    Task.PAPERS: "writing the papers",
    Task.REVISE: "planning the rest again and writing the papers",
    Task.ANSWER: "looking for the answer",
}


MeasureOf = Callable[[Job, Part], PartMeasure | None]
"""Says what the numbers of a part count."""


def _unknown(job: Job, part: Part) -> PartMeasure | None:
    del job, part
    return None


@dataclass(frozen=True, kw_only=True, slots=True)
class PartLine:
    """A part in words. ``sure`` is how close its bound is to its cost, in whole per mille for a bar."""

    name: str
    state: str
    worth: str
    gap: str
    sure: int | None
    trouble: str


def state_words(state: JobState) -> str:
    """Return what a state means to the office.

    Examples
    --------
    >>> state_words(JobState.SOLVING)
    'Planning the cuts'
    """
    return _STATES[state]


def progress_sentence(view: JobView) -> str:
    """Return how far a job has come, in one sentence for eyes and ears alike."""
    if view.job.kind is not JobKind.PLAN and view.job.state is JobState.SOLVING:
        return _FOLLOWING[view.job.kind]
    words = state_words(view.job.state)
    if view.job.state is not JobState.SOLVING:
        return f"{words}."
    if has_plan(view.job):
        return "The plan is ready; its papers are being written."
    solving = [part for part in view.parts if part.task is Task.SOLVE]
    done = sum(part.state is PartState.DONE for part in solving)
    if solving and done == len(solving):
        return "All groups are planned; adding up the purchase, checking and writing the documents."
    return f"{words}: {done:,} of {len(solving):,} groups done."


def part_lines(view: JobView, measure: MeasureOf = _unknown) -> tuple[PartLine, ...]:
    """Return a line for each part that bears on where the job stands; ``measure`` says what its numbers count."""
    last_check = max((part.number for part in view.parts if part.task is Task.CHECK), default=0)
    return tuple(_line(part, measure(view.job, part)) for part in view.parts if part.number >= last_check)


def _line(part: Part, measure: PartMeasure | None) -> PartLine:
    return PartLine(
        name=_TASKS.get(part.task, part.name),
        state={PartState.QUEUED: "waiting", PartState.RUNNING: "at work"}.get(part.state, part.state.value),
        worth=_worth(part, measure),
        gap=_gap(part),
        sure=_sure(part),
        trouble=part.trouble,
    )


def _worth(part: Part, measure: PartMeasure | None) -> str:
    """Return cost and bound in money or material: ``419.40 USD; cannot be under 410.00 USD``."""
    if part.cost is None or measure is None or part.state in (PartState.CANCELLED, PartState.FAILED):
        return ""
    cost = measure.text(part.cost)
    if part.bound is None or part.bound <= 0 or part.bound >= part.cost:
        return cost
    return f"{cost}; cannot be under {measure.text(part.bound)}"


def _gap(part: Part) -> str:
    if part.task is not Task.SOLVE or part.state in (PartState.QUEUED, PartState.CANCELLED, PartState.FAILED):
        return ""
    if part.cost is None:
        return "looking for a first plan" if part.state is PartState.RUNNING else ""
    if part.bound is None:
        return "a first plan found"
    above = percent_above(part.cost, part.bound)
    if above == 0:
        return "proven: no better plan exists"
    return "a plan found, bound not known yet" if above is None else f"at most {above} % above the best possible"


def _sure(part: Part) -> int | None:
    if not part.cost or not part.bound or part.task is not Task.SOLVE:
        return None
    return max(0, min(1000, 1000 * part.bound // part.cost))
