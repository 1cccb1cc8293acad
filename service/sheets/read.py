"""A job file to a problem: every sheet read, every finding said at once."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from service.job_settings import JobSettings
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
    with _collector_paused():
        return read_job_tables(read_tables(path), settings, name=settings.name or path.stem[:120])


@contextmanager
def _collector_paused() -> Iterator[None]:
    """Keep the cyclic garbage collector from walking over millions of cells that hold no cycles."""
    running = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if running:
            gc.enable()
