"""Events from a sheet: any table with a column ``event``, or a bare list of scanned codes."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path

from service.errors import RefusedError, SheetError
from service.revisions.event_words import COLUMNS, EventReader
from service.sheets.cells import cell_text
from service.sheets.files import read_tables
from service.sheets.findings import Finding, Verdict
from solver.errors import RecordError
from solver.events import Event
from solver.revision.record import Revision


def read_events(path: Path, revision: Revision) -> tuple[Event, ...]:
    """Return the events of a sheet.

    A sheet with a column ``code`` and none called ``event`` is what a scanner
    wrote: each code is a rail that is cut.

    Raises
    ------
    RefusedError
        With every row that cannot be used.
    SheetError
        If the file is no table, or has neither column.
    """
    for table in read_tables(path):
        headings: dict[int, str] = {}
        rows: list[tuple[int, Mapping[str, str]]] = []
        for number, values in table.rows:
            texts = [cell_text(value) for value in values]
            if not headings:
                known = {place: text.lower() for place, text in enumerate(texts) if text.lower() in COLUMNS}
                headings = known if {"event", "code"} & set(known.values()) else {}
                continue
            rows.append((number, {name: texts[place] for place, name in headings.items() if place < len(texts)}))
        if headings:
            scanned = "event" not in headings.values()
            return _events(table.name, rows, revision, scanned=scanned)
    raise SheetError(f"{path.name}: no sheet has a column event; the columns are {', '.join(COLUMNS)}")


def events_of(rows: Iterable[Mapping[str, object]], revision: Revision) -> tuple[Event, ...]:
    """Return the events of JSON objects; their keys are the columns of the sheet.

    Raises
    ------
    RefusedError
        With every object that cannot be used.
    """
    texts = [{str(key): "" if value is None else str(value) for key, value in row.items()} for row in rows]
    return _events("events", list(enumerate(texts, start=1)), revision, scanned=False)


def _events(
    sheet: str, rows: Iterable[tuple[int, Mapping[str, str]]], revision: Revision, *, scanned: bool
) -> tuple[Event, ...]:
    reader = EventReader(revision)
    events: list[Event] = []
    faults: list[Finding] = []
    for number, row in rows:
        if not any(row.values()):
            continue
        try:
            events.append(reader.event({**row, "event": "rail cut"} if scanned else row))
        except RecordError as error:
            faults.append(Finding(sheet=sheet, cell=str(number), verdict=Verdict.ERROR, message=str(error)))
    if faults:
        raise RefusedError(tuple(faults))
    return tuple(events)
