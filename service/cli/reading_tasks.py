"""What the command line has done in a guarded child: read the files a person brings, which may be of any origin.

Each task maps a bundle of bytes to a bundle of bytes. Files stay where they
are: their paths come as JSON.
"""

from __future__ import annotations

import json
import tempfile
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

from service.cli.findings_text import finding_lines, reading_json
from service.engine.bundle import pack, unpack
from service.errors import SheetError
from service.job_settings import JobSettings
from service.planning import checked, read_pooled
from service.record_json import to_json
from service.sheets.findings import Finding, JobReading
from solver.lengths import Unit
from solver.openings import Opening
from solver.problem import Problem

Paths = Sequence[tuple[str, Path]]


def read(payload: bytes, report: Callable[[bytes], None]) -> bytes:
    """Read job files as one job.

    Takes ``settings`` and ``paths``; returns the reading in pieces: ``findings``,
    ``openings``, ``mapping`` and ``stock_cells``, and the ``problem`` if nothing
    stands in its way.
    """
    del report
    given = unpack(payload)
    reading = read_pooled(_paths(given), JobSettings.model_validate_json(given["settings"]))
    cells = [[*key, *cell] for key, cell in reading.stock_cells.items()]
    answer = {
        "findings": to_json(tuple[Finding, ...], reading.findings),
        "mapping": _mapping(reading),
        "stock_cells": json.dumps(cells).encode(),
    }
    if reading.problem is not None:
        answer["problem"] = to_json(Problem, reading.problem)
    if reading.problem is None or reading.openings != reading.problem.openings:
        answer["openings"] = to_json(tuple[Opening, ...], reading.openings)
    return pack(answer)


def check(payload: bytes, report: Callable[[bytes], None]) -> bytes:
    """Read and judge job files.

    Takes ``settings``, ``paths``, ``as_json`` and ``mark``; returns the ``text``
    to print, ``usable`` ("1" or nothing), the ``mapping``, and the user's file with its marks as ``marked``.
    """
    del report
    given = unpack(payload)
    paths = _paths(given)
    reading = checked(paths, JobSettings.model_validate_json(given["settings"]))
    text = reading_json(reading) if given["as_json"] else "\n".join(finding_lines(reading.findings))
    answer = {
        "text": text.encode("utf-8", "surrogatepass"),
        "usable": b"1" if reading.usable else b"",
        "mapping": _mapping(reading),
    }
    return pack(answer | (_marked(paths[0][1], reading) if given["mark"] else {}))


def events(payload: bytes, report: Callable[[bytes], None]) -> bytes:
    """Read a sheet of events: takes ``paths`` of one; returns ``rows`` with their numbers, or what is ``wrong``."""
    del report
    from service.revisions.event_rows import numbered_rows

    ((_, path),) = _paths(unpack(payload))
    try:
        sheet, rows = numbered_rows(path)
    except SheetError as error:
        return pack({"wrong": str(error).encode()})
    return pack({"rows": json.dumps([sheet, [[number, dict(row)] for number, row in rows]]).encode()})


def leftovers(payload: bytes, report: Callable[[bytes], None]) -> bytes:
    """Read a list of leftovers: takes ``paths`` of one and ``unit``; returns ``rows`` and ``found``, or ``wrong``."""
    del report
    from service.sheets.leftover_list import LeftoverRow, read_leftovers

    given = unpack(payload)
    ((_, path),) = _paths(given)
    try:
        rows, findings = read_leftovers(path, Unit(given["unit"].decode()))
    except SheetError as error:
        return pack({"wrong": str(error).encode()})
    found = to_json(tuple[Finding, ...], tuple(findings))
    return pack({"rows": to_json(tuple[LeftoverRow, ...], tuple(rows)), "found": found})


def _paths(given: Mapping[str, bytes]) -> list[tuple[str, Path]]:
    return [(name, Path(path)) for name, path in json.loads(given["paths"])]


def _mapping(reading: JobReading) -> bytes:
    """Return the user's own columns by the shape of their table, as JSON."""
    return json.dumps({reading.shape: dict(reading.columns)} if reading.shape else {}).encode()


def _marked(path: Path, reading: JobReading) -> dict[str, bytes]:
    """Return the user's own file with its faults marked; nothing if it cannot be read at all."""
    from service.sheets.checked import write_checked

    with tempfile.TemporaryDirectory() as folder:
        out = Path(folder) / "marked"
        try:
            write_checked(path, out, reading.findings)
        except SheetError:
            return {}
        return {"marked": out.read_bytes()}
