"""From a job file to its documents: the steps that the command line and the job store share.

``read`` -> ``problem_of`` -> ``planned``, its parts solved here or in guarded
children -> ``write_documents``. Heavy libraries are imported where a
step needs them, so that a command that only checks a file starts fast.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from service.deliverables import DELIVERABLES, Deliverable
from service.errors import RefusedError, SheetError
from service.job_settings import JobSettings
from service.sheets.findings import Finding, JobReading, Verdict
from solver.catalogue import StickStock
from solver.errors import ProblemError, ProblemFault
from solver.lengths import length_text
from solver.limits import Limits, Progress
from solver.problem import Problem

if TYPE_CHECKING:
    from service.documents.papers import PaperSetup
    from solver.parts import Group, Part
    from solver.plan import Plan
    from solver.sizing import Sizing

PartSolver = Callable[[Sequence["Part"]], Sequence["Group"]]
"""Solves the parts of a job, in the order given."""


def read(path: Path, settings: JobSettings) -> JobReading:
    """Return a job file as understood; a file that is no job at all is one finding.

    Parameters
    ----------
    path
        Workbook or text file of openings.
    settings
        What the caller says about the job beside the file.
    """
    try:
        if path.suffix.lower() == ".json":
            from service.job_json import read_json_job

            return read_json_job(path, settings)
        from service.sheets.read import read_job

        return read_job(path, settings)
    except SheetError as error:
        return JobReading(findings=(_whole_file(str(error)),), problem=None)


def read_pooled(paths: Sequence[tuple[str, Path]], settings: JobSettings) -> JobReading:
    """Return several job files, each with its name, as one job; one file alone is read as it is.

    Answers name their cells with the file's mark in front, as findings do.
    """
    if len(paths) == 1:
        return read(paths[0][1], settings)
    from service.pooling import FileReading, file_marks, pooled

    names = [name for name, _ in paths]
    readings = []
    for (name, path), mark in zip(paths, file_marks(names), strict=True):
        own = {cell.removeprefix(f"{mark} "): text for cell, text in settings.answers.items() if cell.startswith(mark)}
        readings.append(FileReading(name=name, reading=read(path, settings.model_copy(update={"answers": own}))))
    return pooled(readings, settings.name or f"{len(paths)} files")


def checked(paths: Sequence[tuple[str, Path]], settings: JobSettings) -> JobReading:
    """Return job files as understood, with the faults that only sizing finds."""
    return fitted(read_pooled(paths, settings), settings)[0]


def fitted(reading: JobReading, settings: JobSettings) -> tuple[JobReading, tuple[Part, ...]]:
    """Return a reading with the faults that only sizing finds, and the parts of its job if there are none.

    Where faulty rows are to be parked, those are parked too.
    """
    from service.sheets.collector import collector_paused
    from service.sheets.parking import park_faults
    from solver.solve import parts, sized

    while reading.problem is not None:
        try:
            with collector_paused():
                problem = reading.problem
                sizing = sized(problem)
                useless = _useless(problem, sizing, reading.stock_cells)
                return replace(reading, findings=(*reading.findings, *useless)), tuple(parts(problem, sizing))
        except ProblemError as error:
            faults = fault_findings(error.faults)
            parked = park_faults(reading, faults) if settings.park_faulty_rows else None
            if parked is None:
                return replace(reading, problem=None, findings=(*reading.findings, *faults)), ()
            reading = parked
    return reading, ()


def _useless(
    problem: Problem, sizing: Sizing, stock_cells: Mapping[tuple[str, str], tuple[str, str]]
) -> Iterator[Finding]:
    """Yield a notice at each stick and roll that holds no piece of the job, and at stock of an unlisted sort."""
    from solver.purchase.notices import too_small, unlisted

    for sort in unlisted(problem):
        cells = [(name, stock_cells[kind, name]) for kind, name in sort.stock if (kind, name) in stock_cells]
        if cells:
            names = ", ".join(name for name, _ in cells[:5]) + (f" and {len(cells) - 5} more" if len(cells) > 5 else "")
            sheet = "meshes" if sort.is_mesh else "profiles"
            message = (
                f"{sort.name} is not on the sheet {sheet}, so this is left out: {names}; "
                "write the name as it stands there, or add a row for it"
            )
            yield Finding(sheet=cells[0][1][0], cell=cells[0][1][1], verdict=Verdict.NOTICE, message=message)
    for each in too_small(problem, sizing.screens):
        kind = "sticks" if isinstance(each.stock, StickStock) else "rolls"
        place = stock_cells.get((kind, each.stock.name))
        if place is not None:
            least = length_text(each.wanted, problem.unit)
            size = "long" if kind == "sticks" else "wide"
            message = f"{each.stock.name} {each.words}, so it is left out; one {least} {size} or more would be of use"
            yield Finding(sheet=place[0], cell=place[1], verdict=Verdict.NOTICE, message=message)


def problem_of(reading: JobReading) -> Problem:
    """Return the problem of a usable reading.

    Raises
    ------
    RefusedError
        If an error or an open question stands in its way.
    """
    if reading.problem is None:
        raise RefusedError(reading.findings)
    return reading.problem


def limits_of(
    settings: JobSettings,
    *,
    stop: Callable[[], bool] = lambda: False,
    report: Callable[[Progress], None] = lambda progress: None,
) -> Limits:
    """Return the solver's limits for each part of a job, on this process's clock."""
    return Limits(
        work=settings.work, seconds=settings.seconds, seed=settings.seed, now=time.monotonic, stop=stop, report=report
    )


def in_this_process(settings: JobSettings) -> PartSolver:
    """Return a solver of parts that works one after the other, right here."""

    def solve_all(parts: Sequence[Part]) -> list[Group]:
        from solver.solve import solve_part

        return [solve_part(part, limits_of(settings)) for part in parts]

    return solve_all


def planned(problem: Problem, solve_all: PartSolver) -> Plan:
    """Return the checked plan of a problem.

    Raises
    ------
    RefusedError
        If the problem cannot be planned; it names every fault found.
    """
    from solver.solve import assemble, parts, sized

    try:
        sizing = sized(problem)
        return assemble(problem, sizing, list(solve_all(parts(problem, sizing))))
    except ProblemError as error:
        raise RefusedError(fault_findings(error.faults)) from error


def fault_findings(faults: Iterable[ProblemFault]) -> tuple[Finding, ...]:
    """Return the solver's faults as findings, in the cells they come from."""
    return tuple(_fault_finding(fault) for fault in faults)


def write_documents(
    problem: Problem, plan: Plan, folder: Path, setup: PaperSetup, deliverables: Sequence[Deliverable] = DELIVERABLES
) -> tuple[Path, ...]:
    """Write the documents that a job wants into a folder, which is made if it is missing."""
    folder.mkdir(parents=True, exist_ok=True)
    wanted = [deliverable for deliverable in deliverables if deliverable.wanted(problem)]
    for deliverable in wanted:
        deliverable.write(problem, plan, folder / deliverable.name, setup)
    return tuple(folder / deliverable.name for deliverable in wanted)


def weight(part: Part) -> int:
    """Return how many pieces a part cuts, a measure of its work."""
    return sum(run.quantity for run in part.runs)


def _whole_file(message: str) -> Finding:
    return Finding(sheet="", cell="", verdict=Verdict.ERROR, message=message)


def _fault_finding(fault: ProblemFault) -> Finding:
    sheet, _, cell = fault.source.partition("!")
    return Finding(sheet=sheet, cell=cell, verdict=Verdict.ERROR, message=fault.message)
