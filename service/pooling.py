"""Several job files planned as one: their openings share sticks and rolls, so less is bought."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from pathlib import PurePath
from typing import Any, TypeVar

from service.sheets.findings import Finding, JobReading, Verdict
from solver.catalogue import Catalogue
from solver.errors import RecordError
from solver.openings import Opening
from solver.problem import Problem

Record = TypeVar("Record")


@dataclass(frozen=True, kw_only=True, slots=True)
class FileReading:
    """One file of a pooled job as understood; ``name`` is the file's."""

    name: str
    reading: JobReading


def file_marks(names: Sequence[str]) -> list[str]:
    """Return a short mark for each file, different for each: its name without ending, numbered where that repeats.

    Examples
    --------
    >>> file_marks(["order 7.xlsx", "order 8.xlsx", "b/order 7.csv"])
    ['order 7', 'order 8', 'order 7 (2)']
    """
    seen: Counter[str] = Counter()
    marks = []
    for name in names:
        stem = PurePath(name).stem or "file"
        seen[stem] += 1
        marks.append(stem if seen[stem] == 1 else f"{stem} ({seen[stem]})")
    return marks


def pooled(files: Sequence[FileReading], name: str) -> JobReading:
    """Return several readings as one job.

    Every opening keeps its file's rules; its label and cells get the file's
    mark in front, and an opening without an order gets the mark as its order.
    Stock that one file lists stands in for the usual stock of the others; stock
    of the same name must be the same in all files.
    """
    marks = file_marks([file.name for file in files])
    findings = [
        _marked(finding, mark) for file, mark in zip(files, marks, strict=True) for finding in file.reading.findings
    ]
    problems = [file.reading.problem for file in files]
    usable = [problem for problem in problems if problem is not None]
    if len(usable) < len(files):
        return JobReading(findings=tuple(findings), problem=None)
    first = usable[0]
    openings = tuple(
        _own(opening, problem, first, mark)
        for problem, mark in zip(usable, marks, strict=True)
        for opening in problem.openings
    )
    listed = _listed(usable)
    try:
        catalogue, clashes = _catalogue(usable, listed)
        faults = [_fault(f"{clash} differs between the files; give it alike, or in one file only") for clash in clashes]
        if len({problem.currency for problem in usable if problem.currency}) > 1:
            faults.append(_fault("the files name different currencies; give one"))
        if faults:
            return JobReading(findings=(*findings, *faults), problem=None, openings=openings)
        problem = Problem(
            openings=openings,
            catalogue=catalogue,
            rules=first.rules,
            name=name,
            parked=tuple(
                replace(row, label=f"{mark} {row.label}", source=f"{mark} {row.source}")
                for problem, mark in zip(usable, marks, strict=True)
                for row in problem.parked
            ),
            unit=first.unit,
            currency=next((problem.currency for problem in usable if problem.currency), ""),
            assumed=_once(line for problem in usable for line in problem.assumed if _kind(line) not in listed),
        )
    except RecordError as error:
        return JobReading(findings=(*findings, _fault(str(error))), problem=None, openings=openings)
    if any(problem.rules != first.rules for problem in usable):
        message = f"saw and table rules are those of {files[0].name}; sizes follow each file's own rules"
        findings.append(Finding(sheet="", cell="", verdict=Verdict.NOTICE, message=message))
    return JobReading(findings=tuple(findings), problem=problem, openings=openings)


def _own(opening: Opening, problem: Problem, first: Problem, mark: str) -> Opening:
    rules = opening.rules or (problem.rules if problem.rules != first.rules else None)
    return replace(
        opening,
        label=f"{mark} {opening.label}",
        order=opening.order or mark,
        rules=rules,
        source=f"{mark} {opening.source}" if opening.source else mark,
        cells=tuple((field, f"{mark} {cell}") for field, cell in opening.cells),
    )


def _kind(assumed: str) -> str:
    """Return the kind of stock that a line of assumptions is about, such as ``sticks``."""
    return assumed.partition(":")[0]


def _listed(problems: Sequence[Problem]) -> set[str]:
    """Return the kinds of stock that at least one file lists itself."""
    kinds = Catalogue.__dataclass_fields__
    usual = [{_kind(line) for line in problem.assumed} for problem in problems]
    return {kind for kind in kinds if any(kind not in assumed for assumed in usual)}


def _catalogue(problems: Sequence[Problem], listed: set[str]) -> tuple[Catalogue, list[str]]:
    """Return all stock together, and what is named alike but differs."""
    merged: dict[str, tuple[Any, ...]] = {}
    clashes: list[str] = []
    for kind in Catalogue.__dataclass_fields__:
        records = _once(
            record
            for problem in problems
            if kind not in listed or kind not in {_kind(line) for line in problem.assumed}
            for record in getattr(problem.catalogue, kind)
        )
        merged[kind] = records
        names = Counter(record.name for record in records if hasattr(record, "name"))
        clashes += [f"{name} ({kind})" for name, times in names.items() if times > 1]
    return (problems[0].catalogue if clashes else Catalogue(**merged)), clashes


def _once(records: Iterable[Record]) -> tuple[Record, ...]:
    return tuple(dict.fromkeys(records))


def _marked(finding: Finding, mark: str) -> Finding:
    return replace(finding, sheet=f"{mark} {finding.sheet}".strip())


def _fault(message: str) -> Finding:
    return Finding(sheet="", cell="", verdict=Verdict.ERROR, message=message)
