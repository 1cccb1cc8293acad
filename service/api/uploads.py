"""Takes a job in from a request: a file and what is said about it."""

from __future__ import annotations

from collections.abc import Sequence
from http import HTTPStatus
from io import BytesIO
from pathlib import PurePosixPath
from tempfile import SpooledTemporaryFile
from typing import Any, BinaryIO, cast

from fastapi import Request
from fastapi.exceptions import RequestValidationError
from pydantic import ValidationError
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import UploadFile
from starlette.exceptions import HTTPException
from starlette.formparsers import MultiPartParser

from service.api.office import Office, tenant_of
from service.engine.bundle import Joined, head
from service.job_json import JobDocument
from service.job_settings import JobSettings
from service.jobs.desk import Wish
from service.jobs.files import FileStore
from service.jobs.records import SEVERAL, Attachment

MOST_FILES = 200
_HELD_IN_MEMORY = 1 << 16
"""Beyond this an upload rests in a temporary file while it arrives."""
MultiPartParser.spool_max_size = _HELD_IN_MEMORY
_JUDGED_AT_ONCE = 1 << 20
"""A larger JSON body is judged where job files are read, in a guarded child."""
_FAULTS_SHOWN = 100
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
                            "type": "array",
                            "minItems": 1,
                            "maxItems": MOST_FILES,
                            "items": {"type": "string", "format": "binary"},
                            "description": "A workbook (.xlsx, .xlsm, .xls, .ods) or openings as .csv. "
                            "Several files are planned as one job and share sticks and rolls.",
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
                "example": {"file": ["openings.xlsx"], "settings": '{"unit": "in", "name": "Block A"}'},
            },
            "application/json": {"schema": {"$ref": "#/components/schemas/JobDocument"}},
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
    key = _key(request)
    kind = request.headers.get("content-type", "").partition(";")[0].strip().lower()
    if kind == "multipart/form-data":
        upload, settings = await _form(request, office)
    elif kind == "application/json":
        upload, settings = await _json(request, office)
    else:
        allowed = "send job files as multipart/form-data, or a job as application/json"
        raise HTTPException(HTTPStatus.UNSUPPORTED_MEDIA_TYPE, allowed)
    return Wish(tenant=tenant_of(request), upload=upload, settings=settings, key=key)


async def _form(request: Request, office: Office) -> tuple[Attachment, JobSettings]:
    async with request.form(max_files=MOST_FILES + 1, max_fields=5, max_part_size=1 << 20) as form:
        files = [file for file in form.getlist("file") if isinstance(file, UploadFile)]
        said = form.get("settings")
        if isinstance(said, UploadFile):
            said = (await said.read(1 << 20)).decode("utf-8", errors="replace")
        settings = _settings(said)
        if not files:
            raise _invalid("file", "a job file is needed in the form field 'file'")
        upload = await run_in_threadpool(kept_upload, files, office.files)
    return upload, settings


def kept_upload(files: Sequence[UploadFile], store: FileStore) -> Attachment:
    """Keep the job files of a form, several of them as one bundle."""
    if len(files) == 1:
        digest, size = store.put_stream(files[0].file)
        return Attachment(name=file_name(files[0].filename or ""), digest=digest, size=size)
    named: dict[str, UploadFile] = {}
    for number, file in enumerate(files, 1):
        name = file_name(file.filename or "")
        named[name if name not in named else f"{number} {name}"] = file
    sizes = {name: file.size or 0 for name, file in named.items()}
    bundle = Joined([BytesIO(head(sizes)), *(file.file for file in named.values())])
    digest, size = store.put_stream(cast("BinaryIO", bundle))
    return Attachment(name=f"{len(named)}{SEVERAL}", digest=digest, size=size)


async def _json(request: Request, office: Office) -> tuple[Attachment, JobSettings]:
    with SpooledTemporaryFile(_HELD_IN_MEMORY) as arrived:
        size = 0
        async for chunk in request.stream():
            size += len(chunk)
            await run_in_threadpool(arrived.write, chunk)
        arrived.seek(0)
        if size <= _JUDGED_AT_ONCE:
            _judge(arrived.read())
            arrived.seek(0)
        digest, _ = await run_in_threadpool(office.files.put_stream, cast("BinaryIO", arrived))
    return Attachment(name="job.json", digest=digest, size=size), JobSettings()


def _judge(body: bytes) -> None:
    try:
        JobDocument.model_validate_json(body, strict=True)
    except ValidationError as error:
        faults = [
            {**fault, "loc": ("body", *fault["loc"])} for fault in error.errors(include_url=False)[:_FAULTS_SHOWN]
        ]
        raise RequestValidationError(faults) from error


def _settings(said: str | None) -> JobSettings:
    if said is None or not said.strip():
        return JobSettings()
    try:
        return JobSettings.model_validate_json(said, strict=True)
    except ValidationError as error:
        faults = [{**fault, "loc": ("settings", *fault["loc"])} for fault in error.errors(include_url=False)]
        raise RequestValidationError(faults) from error


def _key(request: Request) -> str | None:
    key = request.headers.get("idempotency-key")
    if key is not None and not 0 < len(key) <= _LONGEST_KEY:
        raise _invalid("Idempotency-Key", f"an idempotency key has 1 to {_LONGEST_KEY} characters")
    return key


def file_name(name: str) -> str:
    r"""Return the last step of a file's name without anything that is not printable.

    Examples
    --------
    >>> file_name("..\\block A.xlsx"), file_name("a/b\x00.csv"), file_name("")
    ('block A.xlsx', 'b.csv', 'job')
    """
    last = PurePosixPath(name.replace("\\", "/")).name
    return "".join(letter for letter in last if letter.isprintable())[-_LONGEST_NAME:] or "job"


def _invalid(where: str, message: str) -> RequestValidationError:
    return RequestValidationError([{"loc": (where,), "msg": message, "type": "value_error"}])
