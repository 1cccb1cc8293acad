"""What runs inside a guarded child: check a job file, solve a part, assemble a plan, write its papers.

Each task maps a bundle of bytes to a bundle of bytes, so that it runs the same
on this machine or another, and touches no store.
"""

from __future__ import annotations

import json
import tempfile
import time
from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date
from pathlib import Path

from service.deliverables import PAGE_LOOKUP, PLAN_DOCUMENTS, SHOP_DOCUMENTS
from service.engine.asking import COLUMNS, FINDINGS, PLAN_RECORD, RACK
from service.engine.bundle import pack, unpack
from service.engine.job_files import laid_out
from service.errors import RefusedError, SheetError
from service.job_settings import JobSettings
from service.leftovers.records import RackPiece
from service.leftovers.settlement import Settlement
from service.leftovers.stock import left_over, pieces_on_hand, taken_from_rack, with_rack
from service.planning import fault_findings, fitted, limits_of, planned, read_pooled, write_documents
from service.printing import paper_setup
from service.record_json import from_json, to_json
from service.sheets.findings import Finding, JobReading
from solver.errors import ProblemError
from solver.limits import Progress
from solver.parts import Group, Part
from solver.plan import Plan
from solver.problem import Problem
from solver.solve import solve_part

_REPORT_EVERY_SECONDS = 0.5

Findings = tuple[Finding, ...]


def check(payload: bytes, report: Callable[[bytes], None]) -> bytes:
    """Read a job file and split it into parts.

    Takes ``settings``, ``files``, a bundle of job files by name, and the leftovers on the ``rack``; returns
    ``findings`` and, if nothing stands in the way, the job's ``name``, the
    ``problem``, the column mapping to remember, and the parts by their names.
    If something does, the user's own file comes with its faults marked.
    """
    del report
    given = unpack(payload)
    settings = JobSettings.model_validate_json(given["settings"])
    files = unpack(given["files"])
    if not settings.name and len(files) == 1:
        settings = settings.model_copy(update={"name": Path(next(iter(files))).stem[:120]})
    with laid_out(files) as paths:
        rack = from_json(tuple[RackPiece, ...], given.get("rack", b"[]"))
        reading, split = fitted(_with_rack(read_pooled(paths, settings), rack), settings)
        answer = {FINDINGS: to_json(Findings, reading.findings)}
        if reading.problem is None:
            return pack(answer | _checked_workbook(paths, reading))
    problem = reading.problem
    answer |= {"name": problem.name.encode(), "problem": to_json(Problem, problem)}
    if reading.shape:
        answer[COLUMNS] = json.dumps({reading.shape: dict(reading.columns)}).encode()
    answer |= {part.name: to_json(Part, part) for part in split}
    return pack(answer)


def _with_rack(reading: JobReading, rack: tuple[RackPiece, ...]) -> JobReading:
    """Return a reading whose job may take the leftovers on the rack."""
    if reading.problem is None or not rack:
        return reading
    return replace(reading, problem=with_rack(reading.problem, rack))


def _checked_workbook(paths: Sequence[tuple[str, Path]], reading: JobReading) -> dict[str, bytes]:
    """Return the user's own file with its faults marked, by its name; nothing for several files or no spreadsheet."""
    from service.sheets.checked import checked_suffix, write_checked

    if len(paths) != 1 or paths[0][1].suffix == ".json":
        return {}
    out = paths[0][1].with_name("checked")
    try:
        write_checked(paths[0][1], out, reading.findings)
    except SheetError:
        # What cannot be read at all cannot be marked; the finding says why.
        return {}
    content = out.read_bytes()
    return {f"checked{checked_suffix(content)}": content}


def solve(payload: bytes, report: Callable[[bytes], None]) -> bytes:
    """Solve one part: takes ``settings`` and ``part``, returns ``group``, or ``findings`` if it cannot be."""
    given = unpack(payload)
    settings = JobSettings.model_validate_json(given["settings"])
    part: Part = from_json(Part, given["part"])
    try:
        group = solve_part(part, limits_of(settings, report=_spaced(report)))
    except ProblemError as error:
        return pack({FINDINGS: to_json(Findings, fault_findings(error.faults))})
    return pack({"group": to_json(Group, group)})


def assemble(payload: bytes, report: Callable[[bytes], None]) -> bytes:
    """Put the solved groups together.

    Takes ``settings``, ``problem`` and the groups by part; returns the ``plan``
    as a record and its documents by name.
    """
    del report
    given = unpack(payload)
    settings = JobSettings.model_validate_json(given.pop("settings"))
    problem = from_json(Problem, given.pop("problem"))
    groups: list[Group] = [from_json(Group, given.pop(name)) for name in list(given)]

    def solved(parts: Sequence[Part]) -> Sequence[Group]:
        del parts
        return groups

    try:
        plan = planned(problem, solved)
    except RefusedError as error:
        return pack({FINDINGS: to_json(Findings, error.findings)})
    setup = paper_setup(settings, problem.unit)
    with tempfile.TemporaryDirectory() as folder:
        paths = write_documents(problem, plan, Path(folder), setup, (*PLAN_DOCUMENTS, PAGE_LOOKUP))
        answer = {}
        if settings.use_rack:
            taken = tuple(taken_from_rack(plan, pieces_on_hand(problem)))
            answer[RACK] = to_json(Settlement, Settlement(taken=taken, left=tuple(left_over(problem, plan))))
        answer[PLAN_RECORD] = to_json(Plan, plan)
        # The records of a large job fill as much memory as its documents: one goes before the other comes.
        del problem, plan
        groups.clear()
        return pack(answer | {path.name: path.read_bytes() for path in paths})


def write_papers(payload: bytes, report: Callable[[bytes], None]) -> bytes:
    """Write the papers of a plan.

    Takes ``settings``, ``problem``, ``plan``, ``job`` and ``day``; returns the
    papers by their names.
    """
    del report
    given = unpack(payload)
    problem, plan = from_json(Problem, given.pop("problem")), from_json(Plan, given.pop("plan"))
    setup = paper_setup(
        JobSettings.model_validate_json(given["settings"]),
        problem.unit,
        handed_in=date.fromisoformat(given["day"].decode()),
        job_id=given["job"].decode(),
    )
    with tempfile.TemporaryDirectory() as folder:
        paths = write_documents(problem, plan, Path(folder), setup, SHOP_DOCUMENTS)
        del problem, plan
        return pack({path.name: path.read_bytes() for path in paths})


def _spaced(report: Callable[[bytes], None]) -> Callable[[Progress], None]:
    """Return a solver's report that passes on at most two a second."""
    next_at = 0.0

    def pass_on(progress: Progress) -> None:
        nonlocal next_at
        now = time.monotonic()
        if now >= next_at:
            next_at = now + _REPORT_EVERY_SECONDS
            report(to_json(Progress, progress))

    return pass_on
