"""Templates to pages: one environment, the filters that set lengths, and the headers every page carries."""

from __future__ import annotations

import hashlib
from datetime import UTC, datetime
from functools import cache
from http import HTTPStatus
from importlib.resources import files
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup
from starlette.responses import HTMLResponse

from service.documents.amounts import shop_length
from service.jobs.records import SEVERAL
from service.sheets.findings import Finding
from service.web.fractions import set_fractions, svg_fractions
from service.web.shelf import has_plan
from solver.lengths import Ticks, Unit

_HEADERS = {
    "Cache-Control": "no-cache",
    # Under the stricter "no-referrer" a browser hides where a form comes from, and it could not be told from a
    # foreign one (Fetch standard, "append a request Origin header").
    "Referrer-Policy": "same-origin",
    "Content-Security-Policy": (
        "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self' data:; connect-src 'self'; "
        "form-action 'self'; frame-ancestors 'none'; base-uri 'none'"
    ),
}
STATIC = {
    "page.css": "text/css; charset=utf-8",
    "page.js": "text/javascript; charset=utf-8",
    "mark.svg": "image/svg+xml",
}
"""The files beside the templates, by name."""


def page(name: str, status: HTTPStatus = HTTPStatus.OK, **values: Any) -> HTMLResponse:
    """Return a page made from a template."""
    return HTMLResponse(_environment().get_template(name).render(values), status_code=status, headers=_HEADERS)


@cache
def static_file(name: str) -> bytes:
    """Return a file that stands beside the templates."""
    return (files("service.web") / "static" / name).read_bytes()


@cache
def static_address(name: str) -> str:
    """Return where a page finds such a file; the address changes with its content, so that it can be kept."""
    return f"/static/{hashlib.sha256(static_file(name)).hexdigest()[:10]}/{name}"


@cache
def _environment() -> Environment:
    environment = Environment(
        loader=PackageLoader("service.web"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters |= {
        "fractions": set_fractions,
        "svg_fractions": svg_fractions,
        "measure": _length,
        "both_units": _both_units,
        "moment": _moment,
        "shown_name": _shown_name,
        "where_it_is": _where_it_is,
        "thousands": lambda number: f"{number:,}",
    }
    environment.tests["planned"] = has_plan
    environment.tests["match_cell"] = lambda cell: cell[:1].isalpha()
    environment.globals["static_address"] = static_address
    return environment


def _length(length: Ticks, unit: Unit) -> Markup:
    """Return a length as the shop reads it, with its unit."""
    return set_fractions(shop_length(length, unit))


def _both_units(length: Ticks, unit: Unit) -> Markup:
    """Return a length as the shop reads it, the other unit behind it in small."""
    other = Unit.MM if unit is Unit.INCH else Unit.INCH
    small = Markup('<small class="other-unit">{}</small>').format(_length(length, other))
    return Markup("{} {}").format(_length(length, unit), small)


def _where_it_is(finding: Finding) -> str:
    """Return the cell of a finding, or its row: ``openings!D4``, ``sticks, row 5``, ``the file``."""
    if finding.sheet and finding.cell.isdecimal():
        return f"{finding.sheet}, row {finding.cell}"
    return finding.address or "the file"


def _shown_name(name: str) -> str:
    """Return the name of a job or upload; several files together carry a mark that no file has."""
    return name.removesuffix(SEVERAL[-1])


def _moment(seconds: float) -> Markup:
    """Return a time as the page shows it: in UTC, which the script turns into the reader's own."""
    moment = datetime.fromtimestamp(seconds, UTC)
    return Markup('<time datetime="{}">{}</time>').format(
        moment.isoformat(timespec="seconds"), f"{moment:%Y-%m-%d %H:%M} UTC"
    )
