"""A budget before anybody measured: types with rough sizes, priced as an earlier job, or a whole sheet of guesses."""

from __future__ import annotations

from collections.abc import Mapping
from http import HTTPStatus
from typing import Any

from fastapi import APIRouter, Request, Response
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData, UploadFile

from service.api.after_plan import AfterPlan
from service.api.office import tenant_of
from service.api.uploads import kept_upload
from service.errors import MoveError
from service.job_settings import JobSettings
from service.jobs.records import Attachment, JobKind, JobState
from service.web.choice_form import ChoiceFormError, whole_number
from service.web.compare_pages import budget_question
from service.web.page_route import PageRoute
from service.web.rendering import page
from service.web.seam import PageOffice
from service.web.sent_form import texts
from service.web.shelf import has_plan
from service.web.start_pages import seen

ROWS = 8
_MODELS = 50
_MOST_FIELDS = 100
_LONGEST_FIELD = 1 << 12


def budget_pages(office: PageOffice, after: AfterPlan) -> APIRouter:
    """Return the routes of the budget page."""
    routes = APIRouter(route_class=PageRoute, include_in_schema=False)

    def budget_page(tenant: str, form: Mapping[str, str], trouble: str = "") -> Response:
        jobs = office.desk.jobs(tenant, state=JobState.DONE, limit=_MODELS)
        models = [job for job in jobs if job.kind is JobKind.PLAN and has_plan(job)]
        status = HTTPStatus.UNPROCESSABLE_ENTITY if trouble else HTTPStatus.OK
        return page("budget.html", status, trouble=trouble, form=form, models=models, rows=range(ROWS))

    @routes.get("/page/budget")
    def budget(request: Request) -> Response:
        return budget_page(tenant_of(request), {})

    @routes.post("/page/budget")
    async def estimate(request: Request) -> Response:
        tenant = tenant_of(request)
        async with request.form(max_fields=_MOST_FIELDS, max_part_size=_LONGEST_FIELD) as sent:
            form = texts(sent)
            upload = await run_in_threadpool(_upload, sent, office)

        def asked() -> Response:
            try:
                if form.get("do") == "sheet":
                    if upload is None:
                        raise ChoiceFormError("Choose a spreadsheet first.")
                    settings = JobSettings(accept_proposals=True, park_faulty_rows=True)
                    name = f"{upload.name}, budget"
                    job = after.ask_before(tenant, upload, name, budget_question(form), settings)
                else:
                    question = {**budget_question(form), "types": types_of(form)}
                    job = after.ask(tenant, form.get("model", ""), "budget", question)
            except ChoiceFormError as error:
                return budget_page(tenant, form, str(error))
            except MoveError:
                return budget_page(tenant, form, "Choose an earlier job whose stock and prices hold.")
            office.wake()
            return seen(job.id)

        return await run_in_threadpool(asked)

    return routes


def _upload(sent: FormData, office: PageOffice) -> Attachment | None:
    file = sent.get("file")
    if not isinstance(file, UploadFile) or not file.filename or not file.size:
        return None
    return kept_upload([file], office.files)


def types_of(form: Mapping[str, str]) -> list[dict[str, Any]]:
    """Return the types of a form.

    Raises
    ------
    ChoiceFormError
        If there are none, or a row is half filled in.

    Examples
    --------
    >>> types_of({"count.0": "12", "width.0": "30 in", "height.0": "48 in"})
    [{'label': 'type 1', 'count': 12, 'width': '30 in', 'height': '48 in'}]
    """
    types: list[dict[str, Any]] = []
    for row in range(ROWS):
        said = {name: form.get(f"{name}.{row}", "").strip() for name in ("label", "count", "width", "height")}
        if not any(said.values()):
            continue
        missing = [name for name in ("count", "width", "height") if not said[name]]
        if missing:
            raise ChoiceFormError(f"Type {row + 1}: {' and '.join(missing)} missing.")
        count = whole_number(said["count"], f"type {row + 1}, how many", 1)
        if count < 1:
            raise ChoiceFormError(f"Type {row + 1}: write how many.")
        types.append({**said, "label": said["label"] or f"type {row + 1}", "count": count})
    if not types:
        raise ChoiceFormError("Write at least one type: how many, about how wide and how high.")
    return types
