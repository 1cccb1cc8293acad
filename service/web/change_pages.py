"""What changed from one revision to the next: cut now, buy more, spare, labels to print again; and taking it back."""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Iterable
from typing import Annotated, Any

from fastapi import APIRouter, Path, Request, Response
from starlette.concurrency import run_in_threadpool

from service.api.after_plan import AfterPlan
from service.api.office import tenant_of
from service.errors import MoveError
from service.web.document_lines import document_lines
from service.web.event_form import runs_text
from service.web.page_route import PageRoute
from service.web.rendering import page
from service.web.seam import PageOffice
from service.web.start_pages import seen
from solver.lengths import Ticks, Unit
from solver.money import Cents, money_text

JobId = Annotated[str, Path(max_length=32)]
_MOST_LABELS = 200


def change_pages(office: PageOffice, after: AfterPlan) -> APIRouter:
    """Return the routes that show what a revision changed."""
    routes = APIRouter(route_class=PageRoute, include_in_schema=False, prefix="/page/jobs/{job_id}")

    @routes.get("/changes")
    def changes(job_id: JobId, request: Request) -> Response:
        tenant = tenant_of(request)
        job = office.desk.job(tenant, job_id)
        found = after.document(job, "difference.json")
        if found is None:
            raise MoveError("this plan is no revision of another, so nothing changed")
        difference = json.loads(found)
        chain = after.chain(tenant, job_id)
        money = difference["money_cents"]
        currency = difference["currency"]
        return page(
            "changes.html",
            job=job,
            tab="What changed",
            chain=chain,
            later=next((one for one in chain if one.parent == job.id), None),
            change=difference,
            fresh=_by_group(difference["to_cut"], fresh=True),
            same=_by_group(difference["to_cut"], fresh=False),
            dropped=_runs((cut["group"], cut["number"]) for cut in difference.get("dropped", ())),
            reprints=difference["reprints"][:_MOST_LABELS],
            money=None if money is None else money_text(Cents(money), currency),
            so_far=difference.get("bought_so_far"),
            cents=lambda amount: money_text(Cents(amount), currency),
            events=after.events_of(tenant, job_id),
            documents=document_lines(job),
            unit=Unit(difference["unit"]),
            ticks=lambda mm: Ticks(round(mm * 320)),
        )

    @routes.post("/take-back")
    async def take_back(job_id: JobId, request: Request) -> Response:
        parent = await run_in_threadpool(after.take_back, tenant_of(request), job_id)
        return seen(parent.id)

    return routes


def _by_group(to_cut: list[dict[str, Any]], *, fresh: bool) -> dict[str, str]:
    """Return the numbers of new or changed cuts, or of those cut as before, by group as a text."""
    return _runs((cut["group"], cut["number"]) for cut in to_cut if (cut["was"] is None) is fresh)


def _runs(cuts: Iterable[tuple[str, int]]) -> dict[str, str]:
    numbers: dict[str, list[int]] = defaultdict(list)
    for group, number in cuts:
        numbers[group].append(number)
    return {group: runs_text(sorted(found)) for group, found in numbers.items()}
