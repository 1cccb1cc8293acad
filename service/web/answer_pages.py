"""What became of a revision or question that has ended without a plan of its own to show: an answer, or why not."""

from __future__ import annotations

import json
from typing import Any

from fastapi import Response

from service.engine.asking import ANSWER
from service.jobs.records import Job, JobKind, JobState
from service.web.document_lines import document_lines
from service.web.rendering import page
from service.web.seam import PageOffice
from solver.money import Cents, money_text

_PAGES = {
    "what if": "answer_choices.html",
    "substitutes": "answer_choices.html",
    "phases": "answer_phases.html",
    "cutting order": "answer_order.html",
    "estimate": "answer_budget.html",
}


def ended_page(office: PageOffice, job: Job) -> Response | None:
    """Return the page of an ended revision or question, None for a revision whose plan is to be shown."""
    if job.state is not JobState.DONE:
        return page("refused.html", job=job, tab="")
    if job.kind is JobKind.REVISION:
        return None
    digest = next(document.digest for document in job.documents if document.name == ANSWER)
    document = json.loads(office.files.get(digest))
    question, answer = document["question"], document["answer"]
    kind = question["kind"]
    template = "answer_phases.html" if kind == "cutting order" and "phases" in answer else _PAGES[kind]
    currency = document["currency"]

    def money(cents: int | None) -> str:
        return "no prices" if cents is None else money_text(Cents(cents), currency)

    def more(cents: int | None) -> str:
        if cents is None:
            return ""
        return "the same" if cents == 0 else f"{money(abs(cents))} {'more' if cents > 0 else 'less'}"

    values: dict[str, Any] = {"question": question, "answer": answer, "money": money, "more": more}
    return page(template, job=job, tab="", documents=document_lines(job), **values)
