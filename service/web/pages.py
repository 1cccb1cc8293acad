"""All pages together, as one set of routes for the application."""

from __future__ import annotations

from pathlib import Path

from fastapi import APIRouter

from service.api.after_plan import AfterPlan
from service.rack.rack import Rack
from service.web.budget_pages import budget_pages
from service.web.change_pages import change_pages
from service.web.compare_pages import compare_pages
from service.web.floor_pages import floor_pages
from service.web.job_pages import job_pages
from service.web.key_page import key_page
from service.web.plan_pages import plan_pages
from service.web.rack_pages import rack_pages
from service.web.seam import PageOffice
from service.web.shelf import Shelf
from service.web.start_pages import start_pages


def page_routes(
    office: PageOffice, folder: Path, after: AfterPlan | None = None, rack: Rack | None = None
) -> tuple[APIRouter, ...]:
    """Return the routes of every page.

    Parameters
    ----------
    office
        The desk and the files.
    folder
        Where lookup files of recently shown plans are kept; it may be emptied at any time.
    after, rack
        Revisions and questions, and the leftovers; without them their pages are missing.
    """
    shelf = Shelf(office.files, folder)
    routes = (key_page(), start_pages(office), job_pages(office, shelf), plan_pages(office, shelf))
    if after is None or rack is None:
        return routes
    return (
        *routes,
        floor_pages(office, shelf, after),
        change_pages(office, after),
        compare_pages(office, shelf, after),
        budget_pages(office, after),
        rack_pages(rack, after),
    )
