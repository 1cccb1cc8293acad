"""Takes a job in from the page: the form's file and settings, or a job that was handed in before."""

from __future__ import annotations

from pathlib import Path

from fastapi import Request
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import UploadFile

from service.api.office import tenant_of
from service.api.uploads import MOST_FILES, file_name, kept_upload
from service.job_settings import JobSettings
from service.jobs.desk import Wish
from service.jobs.records import Attachment, Job
from service.web.seam import PageOffice
from service.web.sent_form import texts
from service.web.settings_form import FormError, settings_of

SAMPLE = Path(__file__).parent / "sample" / "apartment_block.xlsx"
"""The sample job; it ships with the program."""

_MOST_FIELDS = 200
_LONGEST_FIELD = 1 << 18


async def wish_of_form(request: Request, office: PageOffice) -> Wish:
    """Return what the form of the start page asks for; its file is kept when this returns.

    Raises
    ------
    FormError
        If no file was chosen or a setting makes no sense.
    """
    async with request.form(max_files=MOST_FILES, max_fields=_MOST_FIELDS, max_part_size=_LONGEST_FIELD) as form:
        files = [file for file in form.getlist("file") if isinstance(file, UploadFile) and file.filename]
        settings = settings_of(texts(form))
        if not files:
            raise FormError("Choose a spreadsheet first.")
        for file in files:
            if not file.size:
                raise FormError(f"The file {file_name(file.filename or '')} is empty.")
        upload = await run_in_threadpool(kept_upload, files, office.files)
    return Wish(tenant=tenant_of(request), upload=upload, settings=settings)


def sample_wish(tenant: str, office: PageOffice) -> Wish:
    """Return the wish to plan the sample job."""
    content = SAMPLE.read_bytes()
    upload = Attachment(name=SAMPLE.name, digest=office.files.put(content), size=len(content))
    return Wish(tenant=tenant, upload=upload, settings=JobSettings(name="Sample apartment block"))


def again(job: Job, settings: JobSettings) -> Wish:
    """Return the wish to plan the file of an earlier job with other settings."""
    return Wish(tenant=job.tenant, upload=job.upload, settings=settings)
