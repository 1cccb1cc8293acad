"""Takes a job in from a request: a file and what is said about it."""

from __future__ import annotations

from http import HTTPStatus
from pathlib import PurePosixPath
from typing import Any

from fastapi import Request
from fastapi.exceptions import RequestValidationError
from pydantic import ValidationError
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import UploadFile
from starlette.exceptions import HTTPException

from service.api.office import Office, tenant_of
from service.job_settings import JobSettings
from service.jobs.desk import Wish
from service.jobs.records import Attachment

_LONGEST_NAME = 200
_LONGEST_KEY = 255

UPLOAD_BODY: dict[str, Any] = {
    "requestBody": {
        "required": True,
        "content": {
            "multipart/form-data": {
                "schema": {
                    "type": "object",
                    "required": ["file"],
                    "properties": {
                        "file": {
                            "type": "string",
                            "format": "binary",
                            "description": "The job: a workbook (.xlsx, .xlsm, .xls, .ods) or openings as .csv.",
                        },
                        "settings": {
                            "type": "string",
                            "contentMediaType": "application/json",
                            "contentSchema": {"$ref": "#/components/schemas/JobSettings"},
                            "description": "Settings of the job as JSON; everything has a default.",
                        },
                    },
                },
                "encoding": {"settings": {"contentType": "application/json"}},
                "example": {"file": "openings.xlsx", "settings": '{"unit": "in", "name": "Block A"}'},
            }
        },
    }
}


async def wish_of(request: Request, office: Office) -> Wish:
    """Return what a request asks for; the upload is kept already when this returns.

    Raises
    ------
    HTTPException
        If the body is no form (415) or has no file (422).
    RequestValidationError
        If the settings or the idempotency key make no sense.
    """
    if not request.headers.get("content-type", "").lower().startswith("multipart/form-data"):
        raise HTTPException(HTTPStatus.UNSUPPORTED_MEDIA_TYPE, "send the job file as multipart/form-data")
    async with request.form(max_files=1, max_fields=5, max_part_size=1 << 20) as form:
        file, said = form.get("file"), form.get("settings")
        if not isinstance(file, UploadFile):
            raise _invalid("file", "a job file is needed in the form field 'file'")
        if isinstance(said, UploadFile):
            said = (await said.read(1 << 20)).decode("utf-8", errors="replace")
        settings = _settings(said)
        digest, size = await run_in_threadpool(office.files.put_stream, file.file)
        name = _file_name(file.filename or "")
    return Wish(
        tenant=tenant_of(request),
        upload=Attachment(name=name, digest=digest, size=size),
        settings=settings,
        key=_key(request),
    )


def _settings(said: str | None) -> JobSettings:
    if said is None or not said.strip():
        return JobSettings()
    try:
        return JobSettings.model_validate_json(said)
    except ValidationError as error:
        faults = [{**fault, "loc": ("settings", *fault["loc"])} for fault in error.errors(include_url=False)]
        raise RequestValidationError(faults) from error


def _key(request: Request) -> str | None:
    key = request.headers.get("idempotency-key")
    if key is not None and not 0 < len(key) <= _LONGEST_KEY:
        raise _invalid("Idempotency-Key", f"an idempotency key has 1 to {_LONGEST_KEY} characters")
    return key


def _file_name(name: str) -> str:
    r"""Return the last step of a file's name without anything that is not printable.

    Examples
    --------
    >>> _file_name("..\\block A.xlsx"), _file_name("a/b\x00.csv"), _file_name("")
    ('block A.xlsx', 'b.csv', 'job')
    """
    last = PurePosixPath(name.replace("\\", "/")).name
    return "".join(letter for letter in last if letter.isprintable())[-_LONGEST_NAME:] or "job"


def _invalid(where: str, message: str) -> RequestValidationError:
    return RequestValidationError([{"loc": (where,), "msg": message, "type": "value_error"}])
