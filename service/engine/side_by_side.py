"""Solves the parts of one job side by side in guarded children, for a caller that waits."""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor

from service.engine.asking import FINDINGS, Allowance
from service.engine.bundle import unpack
from service.engine.calls import Answered, Crashed, Outcome, OutOfMemory, Overran
from service.engine.guard import Guard
from service.errors import PartFailedError, RefusedError
from service.job_settings import JobSettings
from service.machine_memory import MEBIBYTE
from service.planning import PartSolver, in_this_process, weight
from service.record_json import from_json, to_json
from service.sheets.findings import Finding
from solver.limits import Progress
from solver.parts import Group, Part

WORTH_A_CHILD = 100
"""Pieces from which a part is worth the half second that a child takes to start."""

PartReport = Callable[[str, Progress | None], None]
"""Takes a part's name and its progress, None when the part is done."""


def side_by_side(settings: JobSettings, report: PartReport, allowance: Allowance | None = None) -> PartSolver:
    """Return a solver that uses every core when more than one part is of real size, and this process alone if not."""

    def solve_all(parts: Sequence[Part]) -> Sequence[Group]:
        if sum(weight(part) >= WORTH_A_CHILD for part in parts) < 2:
            return in_this_process(settings)(parts)
        return _in_children(parts, settings, report, allowance or Allowance())

    return solve_all


def _in_children(parts: Sequence[Part], settings: JobSettings, report: PartReport, allowance: Allowance) -> list[Group]:
    guard = Guard()
    cancelled = False

    def solved(part: Part) -> Group:
        call = allowance.solve(settings, to_json(Part, part))
        outcome = guard.run(call, lambda: cancelled, lambda progress: report(part.name, from_json(Progress, progress)))
        group = _group(part.name, outcome)
        report(part.name, None)
        return group

    heaviest_first = sorted(parts, key=weight, reverse=True)
    with ThreadPoolExecutor(max_workers=os.cpu_count() or 1) as threads:
        try:
            futures = {part.name: threads.submit(solved, part) for part in heaviest_first}
            return [futures[part.name].result() for part in parts]
        finally:
            cancelled = True
            guard.close()


def _group(name: str, outcome: Outcome) -> Group:
    if not isinstance(outcome, Answered):
        raise PartFailedError(f"{name}: {failure_words(outcome)}")
    answer = unpack(outcome.answer)
    if FINDINGS in answer:
        raise RefusedError(from_json(tuple[Finding, ...], answer[FINDINGS]))
    group: Group = from_json(Group, answer["group"])
    return group


def failure_words(outcome: Outcome) -> str:
    """Return what a person is told about a part that failed, and what to try."""
    match outcome:
        case OutOfMemory(memory):
            return f"needs more than {memory // MEBIBYTE} MB of memory; split the job into smaller ones"
        case Overran(seconds):
            return f"was stopped after {seconds:.0f} s; split the job into smaller ones or give it more time"
        case Crashed(how, _):
            return f"its process died ({how}); split the job or leave out the rows added last to find the cause"
        case _:
            return "failed for a reason that is the service's own fault; try again, and report it if it stays"
