"""What the tests run in a guarded child: read a job file and say what was found."""

import json
from collections.abc import Callable
from pathlib import Path

from service.errors import SheetError
from service.job_settings import JobSettings
from service.sheets.read import read_job


def said(payload: bytes, report: Callable[[bytes], None]) -> bytes:
    """Return what reading the file at a path says, as a list of lines."""
    del report
    try:
        reading = read_job(Path(payload.decode()), JobSettings(unit="in"))
    except SheetError as error:
        return json.dumps([str(error)]).encode()
    lines = [f"{each.verdict.value}: {each.message}" for each in reading.findings[:100]]
    return json.dumps([*lines, f"{len(reading.openings)} openings"]).encode()
