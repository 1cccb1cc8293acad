"""One job on its way: questions to answer, progress to watch, what became of it."""

from __future__ import annotations

from contextlib import suppress
from http import HTTPStatus
from typing import Annotated
from urllib.parse import quote

from fastapi import APIRouter, Path, Request, Response
from starlette.concurrency import run_in_threadpool

from service.api.office import tenant_of
from service.errors import LookupFormatError
from service.jobs.bench import FINDINGS_KEPT
from service.jobs.records import Job, JobKind, JobState
from service.sheets.findings import Verdict
from service.web.answer_pages import ended_page
from service.web.document_lines import document_lines
from service.web.hand_in import again
from service.web.page_route import PageRoute
from service.web.part_measure import PartMeasures
from service.web.progress_words import part_lines, progress_sentence
from service.web.questions import answers_of, worksheet
from service.web.rendering import page
from service.web.seam import PageOffice
from service.web.sent_form import texts
from service.web.shelf import Shelf, has_plan
from service.web.start_pages import seen

JobId = Annotated[str, Path(max_length=32)]

_LONGEST_SEARCH = 3_600
_MOST_FIELDS = 3_000


def job_pages(office: PageOffice, shelf: Shelf) -> APIRouter:
    """Return the routes that show a job and take answers."""
    routes = APIRouter(route_class=PageRoute, include_in_schema=False, prefix="/page/jobs/{job_id}")
    desk = office.desk
    measures = PartMeasures(office.files)

    @routes.get("")
    def job_page(job_id: JobId, request: Request) -> Response:
        view = desk.view(tenant_of(request), job_id)
        job = view.job
        if job.kind is not JobKind.PLAN and job.state.ended:
            special = ended_page(office, job)
            if special is not None:
                return special
        if has_plan(job):
            with suppress(LookupFormatError), shelf.lookup(job) as plan:
                return page(
                    "summary.html",
                    job=job,
                    tab="Summary",
                    sentence=progress_sentence(view),
                    plan=plan.summary(),
                    documents=document_lines(job),
                )
            return page("old_plan.html", job=job, documents=document_lines(job))
        if job.state is JobState.WAITING or (job.state is JobState.FAILED and _mendable(job)):
            sheet = worksheet(job.findings)
            can_park = not job.settings.park_faulty_rows
            return page(
                "cells.html", job=job, sheet=sheet, can_park=can_park, capped=len(job.findings) >= FINDINGS_KEPT
            )
        lines, sentence = part_lines(view, measures.of), progress_sentence(view)
        return page("ended.html" if job.state.ended else "progress.html", job=job, lines=lines, sentence=sentence)

    @routes.get("/progress")
    def progress(job_id: JobId, request: Request, version: int = 0, plan: str = "") -> Response:
        tenant = tenant_of(request)
        job = desk.job(tenant, job_id)
        plan_to_show = has_plan(job) and plan != "shown"
        if job.state.ended or job.state is JobState.WAITING or plan_to_show:
            return Response(status_code=HTTPStatus.NO_CONTENT, headers={"X-Next-Page": f"/page/jobs/{job_id}"})
        if job.version == version:
            return Response(status_code=HTTPStatus.NO_CONTENT)
        view = desk.view(tenant, job_id)
        answer = page("progress_parts.html", lines=part_lines(view, measures.of))
        answer.headers["X-Job-Version"] = str(view.job.version)
        answer.headers["X-Status"] = quote(progress_sentence(view))
        return answer

    @routes.post("/answers")
    async def take_answers(job_id: JobId, request: Request) -> Response:
        async with request.form(max_fields=_MOST_FIELDS) as sent:
            form = texts(sent)
        job = await run_in_threadpool(_answered, office, tenant_of(request), job_id, form)
        office.wake()
        return seen(job.id)

    @routes.post("/cancel")
    def cancel(job_id: JobId, request: Request) -> Response:
        desk.cancel(tenant_of(request), job_id)
        return seen(job_id)

    @routes.post("/again")
    async def plan_again(job_id: JobId, request: Request) -> Response:
        async with request.form() as sent:
            longer = sent.get("longer") == "yes"
        job = await run_in_threadpool(desk.job, tenant_of(request), job_id)
        settings = job.settings
        if longer:
            factor = min(5.0, _LONGEST_SEARCH / settings.seconds)
            update = {"seconds": settings.seconds * factor, "work": int(settings.work * factor)}
            settings = settings.model_copy(update=update)
        new = await run_in_threadpool(desk.accept, again(job, settings))
        office.wake()
        return seen(new.id)

    @routes.get("/checks")
    def checks(job_id: JobId, request: Request) -> Response:
        job = desk.job(tenant_of(request), job_id)
        return page("checks.html", job=job, tab="Checks", sheet=worksheet(job.findings))

    return routes


def _answered(office: PageOffice, tenant: str, job_id: str, form: dict[str, str]) -> Job:
    """Answer a job's questions: in place where it waits for them, else as a new job with the same file."""
    job = office.desk.job(tenant, job_id)
    answers = answers_of(form, job.findings)
    accept, park = form.get("take_all") == "yes", form.get("park") == "yes"
    if not (answers or accept or park):
        return job
    errors = {finding.address for finding in job.findings if finding.verdict is Verdict.ERROR}
    if job.state is JobState.WAITING and not park and not errors & set(answers):
        return office.desk.answer(tenant, job_id, answers, accept_proposals=accept)
    said = job.settings
    update = {
        "answers": said.answers | answers,
        "accept_proposals": said.accept_proposals or accept,
        "park_faulty_rows": said.park_faulty_rows or park,
    }
    new = office.desk.accept(again(job, said.model_copy(update=update)))
    if not job.state.ended:
        office.desk.cancel(tenant, job_id)
    return new


def _mendable(job: Job) -> bool:
    return any(finding.verdict is not Verdict.NOTICE for finding in job.findings)
