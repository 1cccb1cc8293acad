"""Files that a person brings, read in a guarded child: whatever is in them, the command ends with clear words."""

from __future__ import annotations

import atexit
import json
from collections.abc import Mapping, Sequence
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from service.engine.bundle import pack, unpack
from service.engine.calls import Answered, Call, Crashed, Lost, Outcome, OutOfMemory, Overran, Raised
from service.engine.guard import Guard
from service.errors import PartFailedError, SheetError
from service.machine_memory import MEBIBYTE

if TYPE_CHECKING:
    from service.job_settings import JobSettings
    from service.sheets.findings import Finding, JobReading
    from service.sheets.leftover_list import LeftoverRow
    from solver.lengths import Unit

MOST_MEMORY = 1_024 * MEBIBYTE
LEAST_SECONDS, SECONDS_A_MEBIBYTE, MOST_SECONDS = 10, 10, 120
"""How long reading may take: honest files take about 2 s a mebibyte, sizing included, on a machine at rest."""

Rows = list[tuple[int, Mapping[str, str]]]
Paths = Sequence[tuple[str, Path]]


@cache
def _guard() -> Guard:
    guard = Guard(modules=("service.cli.reading_tasks", "service.sheets.read", "solver.solve"))
    atexit.register(guard.close)
    return guard


def warm_up() -> None:
    """Start the child, so that it imports what it needs while this process does the same."""
    _guard().warm_up()


def read_job(paths: Paths, settings: JobSettings, guard: Guard | None = None) -> JobReading:
    """Return job files as one job; a file that its reader did not survive is one finding.

    Raises
    ------
    PartFailedError
        If no child could be started.
    """
    from service.record_json import from_json
    from service.sheets.findings import Finding, JobReading
    from solver.openings import Opening
    from solver.problem import Problem

    try:
        answer = _answer("read", paths, {"settings": settings.model_dump_json().encode()}, guard)
    except SheetError as error:
        return JobReading(findings=(_whole_file(error),), problem=None)
    problem: Problem | None = from_json(Problem, answer["problem"]) if "problem" in answer else None
    openings: tuple[Opening, ...] = problem.openings if problem is not None else ()
    if "openings" in answer:
        openings = from_json(tuple[Opening, ...], answer["openings"])
    shape, columns = next(iter(json.loads(answer["mapping"]).items()), ("", {}))
    return JobReading(
        findings=from_json(tuple[Finding, ...], answer["findings"]),
        problem=problem,
        openings=openings,
        shape=shape,
        columns=columns,
        stock_cells={(kind, name): (sheet, cell) for kind, name, sheet, cell in json.loads(answer["stock_cells"])},
    )


class CheckedJob:
    """What checking job files gave: the text to print, whether the job can be planned, and the file with its marks."""

    def __init__(self, answer: Mapping[str, bytes]) -> None:
        self.text = answer["text"].decode("utf-8", "surrogatepass")
        self.usable = bool(answer["usable"])
        self.mapping: dict[str, dict[str, str]] = json.loads(answer["mapping"])
        self.marked = answer.get("marked")


def check_job(
    paths: Paths, settings: JobSettings, *, as_json: bool, mark: bool, guard: Guard | None = None
) -> CheckedJob:
    """Return what is wrong or doubtful in job files, as text for a person or as JSON.

    Raises
    ------
    PartFailedError
        If no child could be started.
    """
    asked = {
        "settings": settings.model_dump_json().encode(),
        "as_json": b"1" if as_json else b"",
        "mark": b"1" if mark else b"",
    }
    try:
        return CheckedJob(_answer("check", paths, asked, guard))
    except SheetError as error:
        from service.cli.findings_text import finding_lines, reading_json
        from service.sheets.findings import JobReading

        found = (_whole_file(error),)
        text = reading_json(JobReading(findings=found, problem=None)) if as_json else "\n".join(finding_lines(found))
        return CheckedJob({"text": text.encode(), "usable": b"", "mapping": b"{}"})


def read_event_rows(path: Path) -> tuple[str, Rows]:
    """Return the name of a sheet of events and its rows with their numbers.

    Raises
    ------
    SheetError
        If the file is no sheet of events, or its reader did not survive it.
    PartFailedError
        If no child could be started.
    """
    answer = _answer("events", [(path.name, path)], {})
    sheet, rows = json.loads(answer["rows"])
    return sheet, [(number, row) for number, row in rows]


def read_leftover_rows(path: Path, unit: Unit) -> tuple[list[LeftoverRow], tuple[Finding, ...]]:
    """Return the rows of a list of leftovers and what was found in them; bare numbers are in ``unit``.

    Raises
    ------
    SheetError
        If the file lists no leftovers, or its reader did not survive it.
    PartFailedError
        If no child could be started.
    """
    from service.record_json import from_json
    from service.sheets.findings import Finding
    from service.sheets.leftover_list import LeftoverRow

    answer = _answer("leftovers", [(path.name, path)], {"unit": unit.value.encode()})
    return list(from_json(tuple[LeftoverRow, ...], answer["rows"])), from_json(tuple[Finding, ...], answer["found"])


def _answer(task: str, paths: Paths, asked: Mapping[str, bytes], guard: Guard | None = None) -> dict[str, bytes]:
    """Return what the child answers, or raise what it could not read as a SheetError."""
    places = json.dumps([(name, str(path.absolute())) for name, path in paths]).encode()
    call = Call(
        task=f"service.cli.reading_tasks:{task}",
        payload=pack({"paths": places, **asked}),
        seconds=seconds_for(sum(path.stat().st_size for _, path in paths)),
        memory=MOST_MEMORY,
    )
    outcome = (guard or _guard()).run(call)
    if isinstance(outcome, Lost):
        raise PartFailedError(outcome.why)
    if not isinstance(outcome, Answered):
        raise SheetError(_words(outcome))
    answer = unpack(outcome.answer)
    if "wrong" in answer:
        raise SheetError(answer["wrong"].decode())
    return answer


def seconds_for(size: int) -> float:
    """Return how long reading files of so many bytes may take.

    Examples
    --------
    >>> seconds_for(40_000), seconds_for(3 * 1024 * 1024), seconds_for(60 * 1024 * 1024)
    (10, 40, 120)
    """
    return min(MOST_SECONDS, LEAST_SECONDS + SECONDS_A_MEBIBYTE * (size // MEBIBYTE))


def _words(outcome: Outcome) -> str:
    again = "save the sheets with openings and stock as a new workbook, or as .csv, and try that"
    match outcome:
        case OutOfMemory(memory):
            return f"reading this file takes over {memory // MEBIBYTE} MB of memory, so it was stopped; {again}"
        case Overran(seconds):
            return f"reading this file takes over {seconds:.0f} s, so it was stopped; {again}"
        case Crashed(how, _):
            return f"reading this file ended the process that read it ({how}); {again}"
        case Raised(trace):
            last = trace.strip().rpartition("\n")[2]
            return (
                f"this file could not be read, which is a fault of this program ({last[:200]}); report it, or {again}"
            )
        case _:
            return f"reading this file was stopped; {again}"


def _whole_file(error: SheetError) -> Finding:
    from service.sheets.findings import Finding, Verdict

    return Finding(sheet="", cell="", verdict=Verdict.ERROR, message=str(error))
