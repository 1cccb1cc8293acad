"""The documents of finished jobs, the empty workbook and the schema of plan.json."""

from __future__ import annotations

import tempfile
from functools import cache
from http import HTTPStatus
from pathlib import Path, PurePath
from typing import Annotated, Any
from urllib.parse import quote

from fastapi import APIRouter, Header, Response
from starlette.responses import JSONResponse, StreamingResponse

from service.api.job_routes import JobId, Tenant, matches
from service.api.office import Office
from service.api.problems import described
from service.deliverables import DELIVERABLES, REVISION_DOCUMENTS, XLSX
from service.engine.asking import CHECKED
from service.errors import MoveError, UnknownJobError
from service.job_json import job_schema
from service.jobs.files import pieces
from service.jobs.records import Attachment, Job, JobState

XLSM = "application/vnd.ms-excel.sheet.macroEnabled.12"
ODS = "application/vnd.oasis.opendocument.spreadsheet"
_SCHEMA = Path(__file__).parents[1] / "documents" / "plan.schema.json"


def document_routes(office: Office) -> APIRouter:
    """Return the routes that hand out documents."""
    routes = APIRouter(tags=["documents"])
    for deliverable in DELIVERABLES:
        _add_document(routes, office, deliverable.name, deliverable.media_type)
    for name, media_type in REVISION_DOCUMENTS.items():
        _add_document(routes, office, name, media_type)
    for name, media_type in zip(CHECKED, (XLSX, XLSM, ODS), strict=True):
        _add_document(routes, office, name, media_type)

    @routes.get("/template.xlsx", response_class=Response, responses=_file_answer(XLSX))
    def empty_job_workbook() -> Response:
        """Get an empty job workbook to fill in: only its first sheet is needed."""
        headers = {"Content-Disposition": 'attachment; filename="screenbatch-job.xlsx"'}
        return Response(_template(), media_type=XLSX, headers=headers)

    @routes.get("/schemas/plan.json", response_class=Response, responses=_file_answer("application/schema+json"))
    def schema_of_plan_json() -> Response:
        """Get the JSON Schema of plan.json."""
        return Response(_SCHEMA.read_bytes(), media_type="application/schema+json")

    @routes.get("/schemas/job.json", response_class=Response, responses=_file_answer("application/schema+json"))
    def schema_of_a_json_job() -> Response:
        """Get the JSON Schema of a job that is handed in as JSON."""
        return JSONResponse(job_schema(), media_type="application/schema+json")

    return routes


def _add_document(routes: APIRouter, office: Office, name: str, media_type: str) -> None:
    def document(
        job_id: JobId,
        tenant: Tenant,
        if_none_match: Annotated[str | None, Header(description="The ETag of the last answer.")] = None,
    ) -> Response:
        job = office.desk.job(tenant, job_id)
        kept = _document(job, name)
        digest = kept.digest
        headers = {"ETag": f'"{digest}"', "Content-Disposition": disposition(job, name)}
        if if_none_match is not None and matches(if_none_match, headers["ETag"]):
            return Response(status_code=HTTPStatus.NOT_MODIFIED, headers=headers)
        headers["Content-Length"] = str(kept.size)
        return StreamingResponse(pieces(office.files, digest), media_type=media_type, headers=headers)

    routes.add_api_route(
        f"/jobs/{{job_id}}/{name}",
        document,
        methods=["GET"],
        response_class=Response,
        operation_id="get_" + "".join(c if c.isalnum() else "_" for c in name),
        summary=f"Get {name} of a job",
        responses=_file_answer(media_type) | {304: {"description": "Not changed."}} | described(404, 409, 422, 503),
    )


def _document(job: Job, name: str) -> Attachment:
    for document in job.documents:
        if document.name == name:
            return document
    if job.state is not JobState.DONE:
        raise MoveError(f"the job is {job.state.value}; its documents are there when it is done")
    raise UnknownJobError(f"the job has no {name}")


def disposition(job: Job, name: str) -> str:
    """Return the header that names a download after its job (RFC 6266)."""
    whole = f"{PurePath(job.name).stem or 'job'} {name}"
    plain = "".join(letter if letter.isascii() and (letter.isalnum() or letter in " -_.") else "_" for letter in whole)
    return f"attachment; filename=\"{plain}\"; filename*=UTF-8''{quote(whole, safe='')}"


def _file_answer(media_type: str) -> dict[int | str, dict[str, Any]]:
    plain_type = media_type.partition(";")[0]
    schema = {} if plain_type.endswith("json") else {"type": "string", "format": "binary"}
    return {200: {"description": "The file.", "content": {plain_type: {"schema": schema}}}}


@cache
def _template() -> bytes:
    from service.sheets.template import write_template

    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "job.xlsx"
        write_template(path)
        return path.read_bytes()
