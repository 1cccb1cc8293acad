"""Other ways to do a planned job, side by side; phases; stock that is out; orders with their shares and due dates."""

from __future__ import annotations

from collections.abc import Mapping
from http import HTTPStatus
from typing import Annotated, Any

from fastapi import APIRouter, Path, Query, Request, Response
from starlette.concurrency import run_in_threadpool

from service.api.after_plan import AfterPlan
from service.api.office import tenant_of
from service.documents.lookup.records import GroupKind
from service.errors import BusyError, PartFailedError, RefusedError
from service.jobs.records import JobKind
from service.web.choice_form import ChoiceFormError, choices_of, due_dates, whole_number
from service.web.page_route import PageRoute
from service.web.rendering import page
from service.web.seam import PageOffice
from service.web.sent_form import texts
from service.web.shelf import Shelf, planned
from service.web.start_pages import seen
from solver.money import Cents, money_text

JobId = Annotated[str, Path(max_length=32)]
SORTS = ("order", "phase", "building", "floor", "unit")
_MOST_FIELDS = 200
_LONGEST_FIELD = 1 << 18


def compare_pages(office: PageOffice, shelf: Shelf, after: AfterPlan) -> APIRouter:
    """Return the routes that ask questions about a plan."""
    routes = APIRouter(route_class=PageRoute, include_in_schema=False, prefix="/page/jobs/{job_id}")

    def compare_page(tenant: str, job_id: str, form: Mapping[str, str], trouble: str = "") -> Response:
        job = planned(office.desk.job(tenant, job_id))
        with shelf.lookup(job) as plan:
            summary = plan.summary()
        stock = [line.stock for line in summary.purchases if line.stock and line.what.startswith(("stick", "r"))]
        return page(
            "compare.html",
            HTTPStatus.UNPROCESSABLE_ENTITY if trouble else HTTPStatus.OK,
            job=job,
            tab="Compare",
            trouble=trouble,
            form=form,
            sorts=SORTS,
            stock=sorted(set(stock)),
            meshes=[group.name for group in summary.groups if group.kind is GroupKind.MESH],
        )

    def orders_page(
        tenant: str, job_id: str, by: str, form: Mapping[str, str], trouble: str = "", *, whole: bool = False
    ) -> Response:
        job = planned(office.desk.job(tenant, job_id))
        with shelf.lookup(job) as plan:
            currency = plan.summary().currency
        shares: list[dict[str, Any]] = []
        try:
            shares = after.look(tenant, job_id, {"kind": "shares", "by": by, "whole_chain": whole})
        except (RefusedError, BusyError, PartFailedError) as error:
            trouble = trouble or str(error)
        return page(
            "orders.html",
            HTTPStatus.UNPROCESSABLE_ENTITY if trouble else HTTPStatus.OK,
            job=job,
            tab="Orders",
            trouble=trouble,
            by=by,
            sorts=SORTS,
            shares=shares,
            revised=job.kind is JobKind.REVISION,
            whole=whole,
            total=sum(share["total_cents"] for share in shares),
            form=form,
            money=lambda cents: money_text(Cents(cents), currency),
        )

    @routes.get("/compare")
    def compare(job_id: JobId, request: Request) -> Response:
        return compare_page(tenant_of(request), job_id, {})

    @routes.post("/compare")
    async def ask(job_id: JobId, request: Request) -> Response:
        form = await _form(request)
        tenant = tenant_of(request)

        def asked() -> Response:
            try:
                name, question = _question(form)
                job = after.ask(tenant, job_id, name, question)
            except ChoiceFormError as error:
                return compare_page(tenant, job_id, form, str(error))
            office.wake()
            return seen(job.id)

        return await run_in_threadpool(asked)

    @routes.get("/orders")
    def orders(
        job_id: JobId,
        request: Request,
        by: Annotated[str, Query(pattern="^(order|phase|building|floor|unit)$")] = "order",
        of: Annotated[str, Query(pattern="^(|all)$")] = "",
    ) -> Response:
        return orders_page(tenant_of(request), job_id, by, {}, whole=of == "all")

    @routes.post("/orders")
    async def order_the_cutting(job_id: JobId, request: Request) -> Response:
        form = await _form(request)
        tenant = tenant_of(request)

        def asked() -> Response:
            by = form.get("by", "order") if form.get("by") in SORTS else "order"
            try:
                question = {
                    "kind": "cutting order",
                    "due": due_dates(form.get("due", "")),
                    "most_open": whole_number(form.get("most_open", ""), "orders open at once", 1_000_000),
                    "by": by,
                }
                job = after.ask(tenant, job_id, "cutting order", question)
            except ChoiceFormError as error:
                return orders_page(tenant, job_id, by, form, str(error))
            office.wake()
            return seen(job.id)

        return await run_in_threadpool(asked)

    return routes


async def _form(request: Request) -> dict[str, str]:
    async with request.form(max_fields=_MOST_FIELDS, max_part_size=_LONGEST_FIELD) as sent:
        return texts(sent)


def _question(form: Mapping[str, str]) -> tuple[str, dict[str, Any]]:
    """Return the name and the words of what the form asks, by the button that was pressed."""
    match form.get("do"):
        case "phases":
            by = form.get("by", "phase")
            if by not in SORTS:
                raise ChoiceFormError(f"by {by}: choose one of {', '.join(SORTS)}")
            return "phase by phase", {"kind": "phases", "by": by}
        case "substitutes":
            stock = form.get("stock", "").strip()
            if not stock:
                raise ChoiceFormError("Say which stock is out.")
            return f"without {stock}"[:120], {"kind": "substitutes", "stock": stock}
        case "budget":
            return "budget", budget_question(form)
        case _:
            return "what if", {"kind": "what if", "choices": choices_of(form)}


def budget_question(form: Mapping[str, str]) -> dict[str, Any]:
    """Return the question for a budget: how far sizes and counts may be off, and what is cut again."""
    return {
        "kind": "estimate",
        "play": form.get("play", "").strip() or "1 in",
        "count_per_mille": whole_number(form.get("count", ""), "count, per cent", 5) * 10,
        "recuts_per_mille": whole_number(form.get("recuts", ""), "recuts, per cent", 5) * 10,
    }
