"""Events from a sheet: any table with a column ``event``, or a bare list of scanned codes."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from service.errors import RefusedError
from service.revisions.event_words import EventReader
from service.sheets.findings import Finding, Verdict
from solver.errors import RecordError
from solver.events import Event
from solver.revision.record import Revision


def events_of(rows: Iterable[Mapping[str, object]], revision: Revision) -> tuple[Event, ...]:
    """Return the events of JSON objects; their keys are the columns of the sheet.

    Raises
    ------
    RefusedError
        With every object that cannot be used.
    """
    texts = [{str(key): "" if value is None else str(value) for key, value in row.items()} for row in rows]
    return events_of_sheet("events", list(enumerate(texts, start=1)), revision)


def events_of_sheet(sheet: str, rows: Iterable[tuple[int, Mapping[str, str]]], revision: Revision) -> tuple[Event, ...]:
    """Return the events in the numbered rows of a sheet; see :mod:`service.revisions.event_rows`.

    Raises
    ------
    RefusedError
        With every row that cannot be used.
    """
    reader = EventReader(revision)
    events: list[Event] = []
    faults: list[Finding] = []
    for number, row in rows:
        if not any(row.values()):
            continue
        try:
            events.append(reader.event(row))
        except RecordError as error:
            faults.append(Finding(sheet=sheet, cell=str(number), verdict=Verdict.ERROR, message=str(error)))
    if faults:
        raise RefusedError(tuple(faults))
    return tuple(events)
