"""The shop floor of a job: what is cut, what went wrong, what changed; and a label that got lost."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from http import HTTPStatus
from typing import Annotated, Any
from urllib.parse import urlencode

from fastapi import APIRouter, Query, Request, Response
from fastapi import Path as PathParameter
from starlette.concurrency import run_in_threadpool
from starlette.responses import RedirectResponse

from service.api.after_plan import AfterPlan
from service.api.office import tenant_of
from service.deliverables import PDF
from service.documents.lookup.read import PlanLookup
from service.documents.lookup.records import GroupKind, GroupSummary
from service.errors import BusyError, PartFailedError, RackError, RefusedError
from service.web.event_form import EventFormError, noted, runs_text, shown
from service.web.page_route import PageRoute
from service.web.rendering import page
from service.web.seam import PageOffice
from service.web.sent_form import repeated, sheet_sent, texts
from service.web.shelf import Shelf, planned
from service.web.start_pages import seen
from solver.catalogue import Hardware

JobId = Annotated[str, PathParameter(max_length=32)]
_MOST_FIELDS = 10_000
_LONGEST_FIELD = 1 << 20
_MOST_EVENTS = 20_000
_PAGES_NAMED = 4
"""Pages of drawings whose numbers are named; a plan of more sticks trails off."""


def floor_pages(office: PageOffice, shelf: Shelf, after: AfterPlan) -> APIRouter:
    """Return the routes of the shop floor."""
    routes = APIRouter(route_class=PageRoute, include_in_schema=False, prefix="/page/jobs/{job_id}")

    @routes.get("/floor")
    def floor(job_id: JobId, request: Request, again: str = "") -> Response:
        tenant = tenant_of(request)
        events = after.events_of(tenant, again) if again else []
        texts = [{name: str(value) for name, value in event.items() if value is not None} for event in events]
        return _floor(office, shelf, after, tenant, job_id, texts, {})

    @routes.post("/floor")
    async def note_or_plan(job_id: JobId, request: Request) -> Response:
        async with request.form(max_fields=_MOST_FIELDS, max_part_size=_LONGEST_FIELD) as sent:
            form = texts(sent)
            carried = repeated(sent, "event")
            sheet = await sheet_sent(sent)
        return await run_in_threadpool(_noted, office, shelf, after, tenant_of(request), job_id, form, carried, sheet)

    @routes.post("/rack")
    async def tell_the_rack(job_id: JobId, request: Request) -> Response:
        async with request.form(max_fields=3) as sent:
            back, unwanted = sent.get("do") == "give back", sent.get("unwanted") == "yes"
        tenant = tenant_of(request)

        def told() -> Response:
            if back and not unwanted:
                trouble = "This plan still holds, and may be cut: tick that nobody will cut it, then give back."
                return _floor(office, shelf, after, tenant, job_id, [], {}, trouble)
            if back:
                done = f"{len(after.give_back(tenant, job_id))} leftovers given back"
                return RedirectResponse(f"/page/rack?{urlencode({'done': done})}", status_code=HTTPStatus.SEE_OTHER)
            try:
                after.book(tenant, job_id)
            except RackError as error:
                return _floor(office, shelf, after, tenant, job_id, [], {}, str(error))
            return RedirectResponse("/page/rack?state=expected", status_code=HTTPStatus.SEE_OTHER)

        return await run_in_threadpool(told)

    @routes.get("/lost-label")
    def lost_label(
        job_id: JobId,
        request: Request,
        length: Annotated[str, Query(max_length=40)] = "",
        within: Annotated[str, Query(max_length=40)] = "1/32 in",
    ) -> Response:
        tenant = tenant_of(request)
        job = planned(office.desk.job(tenant, job_id))
        candidates: list[Any] = []
        trouble = ""
        if length.strip():
            question = {"kind": "lost label", "length": length, "within": within or "1/32 in"}
            try:
                candidates = after.look(tenant, job_id, question)
            except RefusedError as error:
                trouble = error.findings[0].message
            except (BusyError, PartFailedError) as error:
                trouble = str(error)
        values: dict[str, Any] = {"length": length, "within": within, "candidates": candidates, "trouble": trouble}
        return page("lost_label.html", job=job, tab="Shop floor", **values)

    @routes.get("/labels.pdf")
    def some_labels(
        job_id: JobId,
        request: Request,
        code: Annotated[list[str], Query(max_length=1_000)] = [],  # noqa: B006
    ) -> Response:
        content = after.labels(tenant_of(request), job_id, code)
        return Response(content, media_type=PDF, headers={"Content-Disposition": 'inline; filename="labels.pdf"'})

    return routes


def _noted(
    office: PageOffice,
    shelf: Shelf,
    after: AfterPlan,
    tenant: str,
    job_id: str,
    form: Mapping[str, str],
    carried: Sequence[str],
    sheet: tuple[str, bytes] | None,
) -> Response:
    try:
        events = noted(form, carried)
        if sheet is not None:
            events += after.rows_of_sheet(*sheet)
        if len(events) > _MOST_EVENTS:
            raise EventFormError(f"{len(events):,} events are more than fit into one revision")
        if form.get("do") == "plan":
            if not events:
                raise EventFormError("Nothing is noted yet: say what happened first.")
            price = form.get("price_of_change", "").strip() or "0"
            job = after.revise(tenant, job_id, events, price=price)
            office.wake()
            return seen(job.id)
    except (EventFormError, RefusedError, BusyError, PartFailedError) as error:
        before = [dict(event) for event in _carried(carried)]
        return _floor(office, shelf, after, tenant, job_id, before, form, str(error))
    return _floor(office, shelf, after, tenant, job_id, events, {})


def _carried(carried: Sequence[str]) -> list[dict[str, str]]:
    return noted({}, carried)


def _floor(
    office: PageOffice,
    shelf: Shelf,
    after: AfterPlan,
    tenant: str,
    job_id: str,
    events: Sequence[dict[str, str]],
    form: Mapping[str, str],
    trouble: str = "",
) -> Response:
    job = planned(office.desk.job(tenant, job_id))
    chain = after.chain(tenant, job_id)
    later = [one for one in chain if one.parent == job.id]
    with shelf.lookup(job) as plan:
        summary = plan.summary()
        values: dict[str, Any] = {
            "groups": summary.groups,
            "stock": sorted({line.stock for line in summary.purchases if line.stock}),
            "open_cuts": _open_cuts(plan),
        }
    return page(
        "floor.html",
        HTTPStatus.UNPROCESSABLE_ENTITY if trouble else HTTPStatus.OK,
        job=job,
        tab="Shop floor",
        chain=chain,
        later=later[-1] if later else None,
        events=shown(events),
        form=form,
        trouble=trouble,
        hardware=[hardware.value for hardware in Hardware],
        **values,
    )


def _open_cuts(plan: PlanLookup) -> dict[int, str]:
    """Return the numbers still to be cut, by group, as a text such as ``1 to 12, 15``."""
    return {group.number: _open_in(plan, group) for group in plan.summary().groups}


def _open_in(plan: PlanLookup, group: GroupSummary) -> str:
    numbers: list[int] = []
    for nth in range(1, _PAGES_NAMED + 1):
        sticks = group.kind is GroupKind.STICKS
        found = plan.stick_runs(group.number, page=nth) if sticks else plan.crosscut_runs(group.number, page=nth)
        numbers += [number for run in found.rows for number in range(run.first, run.first + run.count)]
        if nth >= found.pages:
            return runs_text(sorted(numbers))
    return f"{runs_text(sorted(numbers))} …"
