"""A job file to a problem: every sheet read, every finding said at once."""

from __future__ import annotations

from pathlib import Path

from service.job_settings import JobSettings
from service.sheets.collector import collector_paused
from service.sheets.files import read_tables
from service.sheets.findings import JobReading
from service.sheets.job import read_job_tables

__all__ = ["read_job", "read_job_tables"]


def read_job(path: Path, settings: JobSettings) -> JobReading:
    """Return a job file as understood.

    Parameters
    ----------
    path
        Workbook (.xlsx, .xlsm, .xls, .ods) or text table; what it is, its bytes say.
    settings
        What the caller says beside the file; the file's own sheets go before it.

    Raises
    ------
    SheetError
        If the file is no table at all, damaged, locked or far too large.
    """
    with collector_paused():
        return read_job_tables(read_tables(path), settings, name=settings.name or path.stem[:120])
