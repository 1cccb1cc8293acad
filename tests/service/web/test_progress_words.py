"""Progress in words: who is done, how good so far, never more sure than proven."""

from __future__ import annotations

from collections import Counter

import pytest

from service.job_settings import JobSettings
from service.jobs.desk import JobView
from service.jobs.records import Attachment, Job, JobState, Part, PartState, Task
from service.web.progress_words import part_lines, progress_sentence


def part(number: int, state: PartState = PartState.RUNNING, task: Task = Task.SOLVE, **other: object) -> Part:
    words: dict[str, object] = {"name": "rails 5/16 white", "job": "j", "tenant": "local", "turn": 0}
    return Part(id=f"j-{number}", number=number, state=state, task=task, **(words | other))  # type: ignore[arg-type]


def view(*parts: Part, state: JobState = JobState.SOLVING) -> JobView:
    upload = Attachment(name="a.xlsx", digest="0" * 64, size=1)
    job = Job(
        id="j", tenant="local", name="a", settings=JobSettings(), upload=upload, created=0, changed=0, state=state
    )
    return JobView(job=job, parts=parts, counts=Counter(part.state for part in parts))


CHECKED = part(0, PartState.DONE, Task.CHECK, name="check")


def test_only_groups_are_counted() -> None:
    shown = view(CHECKED, part(1, PartState.DONE), part(2), part(3, PartState.QUEUED))
    assert progress_sentence(shown) == "Planning the cuts: 1 of 3 groups done."


def test_after_the_last_group_the_documents_are_written() -> None:
    shown = view(CHECKED, part(1, PartState.DONE), part(2, task=Task.ASSEMBLE, name="assemble"))
    assert progress_sentence(shown).startswith("All groups are planned")


def test_before_and_after_planning_the_state_says_it_all() -> None:
    assert progress_sentence(view(state=JobState.QUEUED)) == "Waiting for its turn."
    assert progress_sentence(view(state=JobState.DONE)) == "The cut plan is ready."


@pytest.mark.parametrize(
    ("cost", "bound", "words"),
    [
        (None, None, "looking for a first plan"),
        (1_000, None, "a first plan found"),
        (1_000, 0, "a plan found, bound not known yet"),
        (1_010, 1_000, "at most 1 % above the best possible"),
        (1_000, 1_000, "proven: no better plan exists"),
    ],
)
def test_a_group_says_how_close_it_is(cost: int | None, bound: int | None, words: str) -> None:
    (line,) = part_lines(view(part(1, cost=cost, bound=bound)))
    assert line.gap == words


def test_the_bar_is_full_only_when_proven() -> None:
    lines = part_lines(view(part(1, cost=100_000, bound=99_999), part(2, cost=5, bound=5)))
    assert [line.sure for line in lines] == [999, 1_000]


def test_a_part_that_has_not_begun_says_nothing_about_its_plan() -> None:
    (line,) = part_lines(view(part(1, PartState.QUEUED, cost=5, bound=5)))
    assert (line.state, line.gap) == ("waiting", "")


def test_checks_from_before_an_answer_are_not_shown_again() -> None:
    again = part(3, PartState.RUNNING, Task.CHECK, name="check")
    lines = part_lines(view(CHECKED, again, state=JobState.CHECKING))
    assert [line.name for line in lines] == ["reading and checking the file"]
    assert lines[0].state == "at work"
