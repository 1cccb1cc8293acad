"""A finished plan, looked through: drawings, openings, leftovers, and where a piece is cut."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from http import HTTPStatus
from typing import Annotated, Any
from urllib.parse import urlencode

from fastapi import APIRouter, Path, Query, Request, Response
from starlette.exceptions import HTTPException
from starlette.responses import RedirectResponse

from service.api.office import tenant_of
from service.documents.lookup.read import PlanLookup
from service.documents.lookup.records import CutPiece, GroupKind, GroupSummary, Summary
from service.errors import MoveError
from service.jobs.records import Job
from service.web.crosscut_drawing import crosscut_drawing, order_of_cutting
from service.web.frame_drawing import frame_drawing
from service.web.page_route import PageRoute
from service.web.rendering import page
from service.web.seam import PageOffice
from service.web.shelf import Shelf, has_plan
from service.web.stick_drawing import stick_drawing
from solver.lengths import Ticks

JobId = Annotated[str, Path(max_length=32)]
Wanted = Annotated[str, Query(max_length=200)]
PageNumber = Annotated[int, Query(alias="page")]


@dataclass(frozen=True, kw_only=True, slots=True)
class _Opened:
    """A finished job with its plan open for one request."""

    job: Job
    plan: PlanLookup
    summary: Summary

    def page(self, template: str, tab: str, **values: Any) -> Response:
        return page(template, job=self.job, tab=tab, unit=self.summary.unit, groups=self.summary.groups, **values)

    def group(self, kind: GroupKind, number: int) -> tuple[list[GroupSummary], GroupSummary | None]:
        """Return the groups of a kind and the one chosen, the first if that is none of them."""
        groups = [group for group in self.summary.groups if group.kind is kind]
        chosen = next((group for group in groups if group.number == number), groups[0] if groups else None)
        return groups, chosen


def plan_pages(office: PageOffice, shelf: Shelf) -> APIRouter:
    """Return the routes that show a finished plan."""
    routes = APIRouter(route_class=PageRoute, include_in_schema=False, prefix="/page/jobs/{job_id}")

    @contextmanager
    def opened(request: Request, job_id: str) -> Iterator[_Opened]:
        job = office.desk.job(tenant_of(request), job_id)
        if not has_plan(job):
            raise MoveError(f"the job is {job.state.value}; there is no plan to show")
        with shelf.lookup(job) as plan:
            yield _Opened(job=job, plan=plan, summary=plan.summary())

    @routes.get("/sticks")
    def sticks(
        job_id: JobId, request: Request, group: int = -1, q: Wanted = "", nth_page: PageNumber = 1, stick: str = ""
    ) -> Response:
        with opened(request, job_id) as job:
            groups, chosen = job.group(GroupKind.STICKS, group)
            if chosen is None:
                return page("sticks.html", job=job.job, tab="Sticks", groups=groups, group=None)
            found = job.plan.page_of_stick(chosen.number, int(stick)) if _is_number(stick) else None
            if found:
                there = _address(group=chosen.number, page=found[0])
                return RedirectResponse(f"{there}#run-{found[1]}", status_code=HTTPStatus.SEE_OTHER)
            shown = job.plan.stick_runs(chosen.number, q, nth_page)
            pieces = job.plan.first_rails(shown.rows)
            longest = Ticks(max((run.length for run in shown.rows), default=1))
            return page(
                "sticks.html",
                job=job.job,
                tab="Sticks",
                unit=job.summary.unit,
                groups=groups,
                group=chosen,
                holding=q,
                missed=stick.strip(),
                shown=shown,
                drawn=[
                    (
                        run,
                        stick_drawing(run, job.summary.unit, longest),
                        list(zip(run.rails, pieces[run.number], strict=True)),
                    )
                    for run in shown.rows
                ],
                wanted=_wanted(job.plan, pieces, q),
                address=_pages(group=chosen.number, q=q),
            )

    @routes.get("/sticks/{number}")
    def stick_run(job_id: JobId, number: int, request: Request, nth_page: PageNumber = 1) -> Response:
        with opened(request, job_id) as job:
            run = job.plan.stick_run(number)
            if run is None:
                raise HTTPException(HTTPStatus.NOT_FOUND, "There is no such stick in this plan.")
            return job.page(
                "stick_run.html",
                "Sticks",
                run=run,
                group=job.summary.groups[run.group],
                drawing=stick_drawing(run, job.summary.unit, run.length),
                shown=job.plan.rails_of(number, nth_page),
                address=_pages(),
            )

    @routes.get("/mesh")
    def mesh(job_id: JobId, request: Request, group: int = -1, q: Wanted = "", nth_page: PageNumber = 1) -> Response:
        with opened(request, job_id) as job:
            groups, chosen = job.group(GroupKind.MESH, group)
            if chosen is None:
                return page("mesh.html", job=job.job, tab="Mesh", groups=groups, group=None)
            shown = job.plan.crosscut_runs(chosen.number, q, nth_page)
            pieces = job.plan.first_blanks(shown.rows)
            return page(
                "mesh.html",
                job=job.job,
                tab="Mesh",
                unit=job.summary.unit,
                groups=groups,
                group=chosen,
                holding=q,
                shown=shown,
                drawn=[
                    (
                        run,
                        crosscut_drawing(run, job.summary.unit),
                        list(zip(run.blanks, pieces[run.number], strict=True)),
                        order_of_cutting(run, job.summary.unit),
                    )
                    for run in shown.rows
                ],
                wanted=_wanted(job.plan, pieces, q),
                address=_pages(group=chosen.number, q=q),
            )

    @routes.get("/mesh/{number}")
    def crosscut_run(job_id: JobId, number: int, request: Request, nth_page: PageNumber = 1) -> Response:
        with opened(request, job_id) as job:
            run = job.plan.crosscut_run(number)
            if run is None:
                raise HTTPException(HTTPStatus.NOT_FOUND, "There is no such crosscut in this plan.")
            return job.page(
                "crosscut_run.html",
                "Mesh",
                run=run,
                group=job.summary.groups[run.group],
                drawing=crosscut_drawing(run, job.summary.unit),
                order=order_of_cutting(run, job.summary.unit),
                shown=job.plan.blanks_of(number, nth_page),
                address=_pages(),
            )

    @routes.get("/openings")
    def openings(job_id: JobId, request: Request, q: Wanted = "", nth_page: PageNumber = 1) -> Response:
        with opened(request, job_id) as job:
            shown = job.plan.openings(q, nth_page)
            return job.page("openings.html", "Openings", q=q, shown=shown, piece=job.plan.piece(q), address=_pages(q=q))

    @routes.get("/openings/{number}")
    def opening(job_id: JobId, number: int, request: Request, nth_page: PageNumber = 1) -> Response:
        with opened(request, job_id) as job:
            sizes = job.plan.opening(number)
            if sizes is None:
                raise HTTPException(HTTPStatus.NOT_FOUND, "There is no such opening in this plan.")
            return job.page(
                "opening.html",
                "Openings",
                sizes=sizes,
                drawing=frame_drawing(sizes, job.summary.unit),
                notices=job.plan.notices_of(number),
                shown=job.plan.pieces_of(number, nth_page),
                address=_pages(),
            )

    @routes.get("/leftovers")
    def leftovers(job_id: JobId, request: Request, nth_page: PageNumber = 1) -> Response:
        with opened(request, job_id) as job:
            return job.page("leftovers.html", "Leftovers", shown=job.plan.leftovers(nth_page), address=_pages())

    @routes.get("/re-measure")
    def re_measure(job_id: JobId, request: Request, nth_page: PageNumber = 1) -> Response:
        with opened(request, job_id) as job:
            return job.page("re_measure.html", "", shown=job.plan.parked(nth_page), address=_pages())

    return routes


def _wanted(plan: PlanLookup, pieces: Mapping[int, tuple[CutPiece, ...]], q: str) -> set[int]:
    """Return which of the openings on a page of drawings were searched for."""
    shown = {piece.opening for of_run in pieces.values() for piece in of_run}
    return plan.matching(shown, q) if q.strip() else set()


def _is_number(text: str) -> bool:
    return text.strip().isascii() and text.strip().isdecimal() and len(text.strip()) < 10


def _address(**values: object) -> str:
    return "?" + urlencode({name: value for name, value in values.items() if value != ""})


def _pages(**values: object) -> str:
    """Return the address that the number of a page is put behind.

    Examples
    --------
    >>> _pages(group=0, q="unit 4"), _pages(q="")
    ('?group=0&q=unit+4&', '?')
    """
    address = _address(**values)
    return address if address == "?" else f"{address}&"
