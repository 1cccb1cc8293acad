"""The start page, handing a job in, the list of jobs, and the files that pages bring along."""

from __future__ import annotations

from http import HTTPStatus

from fastapi import APIRouter, Request, Response
from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.responses import RedirectResponse

from service.api.access import KEY_COOKIE
from service.api.office import tenant_of
from service.deliverables import XLSX
from service.jobs.store import PageStart
from service.web.hand_in import SAMPLE, sample_wish, wish_of_form
from service.web.page_route import PageRoute
from service.web.progress_words import state_words
from service.web.rendering import STATIC, page, static_address, static_file
from service.web.seam import PageOffice
from service.web.settings_form import (
    REMEMBERED,
    SECONDS,
    FormError,
    label_fields,
    remembered_settings,
    remembered_text,
    rule_fields,
)

JOBS_A_PAGE = 50
_YEAR = 365 * 24 * 3600


def start_pages(office: PageOffice) -> APIRouter:
    """Return the routes that begin and list jobs."""
    routes = APIRouter(route_class=PageRoute, include_in_schema=False)
    desk = office.desk

    def start_page(request: Request, trouble: str = "") -> Response:
        return page(
            "start.html",
            HTTPStatus.UNPROCESSABLE_ENTITY if trouble else HTTPStatus.OK,
            trouble=trouble,
            settings=remembered_settings(request.cookies.get(REMEMBERED, "")),
            rules=rule_fields(),
            labels=label_fields(),
            seconds_on_offer=SECONDS,
            upload_mb=office.upload_bytes >> 20,
        )

    @routes.get("/")
    def start(request: Request) -> Response:
        return start_page(request)

    @routes.post("/page/jobs")
    async def hand_in(request: Request) -> Response:
        try:
            wish = await wish_of_form(request, office)
        except FormError as error:
            return start_page(request, str(error))
        job = await run_in_threadpool(desk.accept, wish)
        office.wake()
        answer = seen(job.id)
        answer.set_cookie(
            REMEMBERED, remembered_text(wish.settings), max_age=_YEAR, path="/", httponly=True, samesite="lax"
        )
        return answer

    @routes.post("/page/sample")
    def plan_the_sample(request: Request) -> Response:
        job = desk.accept(sample_wish(tenant_of(request), office))
        office.wake()
        return seen(job.id)

    @routes.get("/page/sample.xlsx")
    def sample() -> Response:
        headers = {"Content-Disposition": f'attachment; filename="{SAMPLE.name}"'}
        return Response(SAMPLE.read_bytes(), media_type=XLSX, headers=headers)

    @routes.get("/page/jobs")
    def list_jobs(request: Request, before: str = "") -> Response:
        begin = _page_start(before)
        jobs = desk.jobs(tenant_of(request), start=begin, limit=JOBS_A_PAGE + 1)
        shown, more = jobs[:JOBS_A_PAGE], len(jobs) > JOBS_A_PAGE
        older = f"{shown[-1].created!r}_{shown[-1].id}" if more else ""
        keyed = KEY_COOKIE in request.cookies
        return page("jobs.html", keyed=keyed, jobs=shown, older=older, later=begin is not None, words=state_words)

    @routes.get("/static/{version}/{name}")
    def beside_the_pages(version: str, name: str) -> Response:
        if name not in STATIC:
            raise HTTPException(HTTPStatus.NOT_FOUND)
        current = static_address(name).split("/")[-2] == version
        kept = "public, max-age=31536000, immutable" if current else "no-cache"
        return Response(static_file(name), media_type=STATIC[name], headers={"Cache-Control": kept})

    return routes


def seen(job_id: str) -> RedirectResponse:
    """Return the answer that leads to a job's page, so that loading it again sends no form again."""
    return RedirectResponse(f"/page/jobs/{job_id}", status_code=HTTPStatus.SEE_OTHER)


def _page_start(before: str) -> PageStart | None:
    created, _, job_id = before.partition("_")
    try:
        return PageStart(created=float(created), id=job_id) if before else None
    except ValueError:
        return None
