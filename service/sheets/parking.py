"""Rows set aside to be measured again, so that the rest can be planned."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Collection, Iterable, Sequence
from dataclasses import replace

from service.sheets.findings import Finding, JobReading, Verdict
from service.sheets.opening_rows import OpeningRow
from solver.lengths import Unit, length_text
from solver.openings import Opening, Parked

_PLACES = ("building", "floor", "unit", "room", "order", "phase")


def parked_rows(
    rows: Iterable[OpeningRow], to_park: Collection[tuple[str, int]], findings: Iterable[Finding]
) -> tuple[Parked, ...]:
    """Return the rows to park with every reason, sorted as one walks: building, floor, unit, room."""
    reasons: dict[tuple[str, int], list[str]] = defaultdict(list)
    for finding in findings:
        if finding.verdict is not Verdict.NOTICE and (row := row_of(finding)) in to_park:
            reasons[row].append(f"{finding.cell}: {finding.message}")
    found = [
        Parked(
            label=each.label,
            quantity=each.values.get("quantity") or 1,
            read=each.read,
            source=f"{each.sheet}!{each.row.number}",
            reasons=tuple(reasons[each.sheet, each.row.number]),
            **{name: each.values.get(name, "") for name in _PLACES},
        )
        for each in rows
        if (each.sheet, each.row.number) in to_park
    ]
    return tuple(sorted(found, key=walking_order))


def with_parked(findings: Iterable[Finding], to_park: Collection[tuple[str, int]]) -> tuple[Finding, ...]:
    """Return findings in which those of parked rows stand in nobody's way any more."""
    return tuple(
        replace(finding, verdict=Verdict.NOTICE, message=f"row set aside to be measured again: {finding.message}")
        if finding.verdict is not Verdict.NOTICE and row_of(finding) in to_park
        else finding
        for finding in findings
    )


def park_faults(reading: JobReading, faults: Sequence[Finding]) -> JobReading | None:
    """Return a reading with the rows of faults that only sizing found set aside; None if they are no rows' faults.

    Parameters
    ----------
    reading
        A usable reading.
    faults
        Errors in the cells of openings.
    """
    problem = reading.problem
    rows = {row_of(fault) for fault in faults}
    if problem is None:
        return None
    of_row = {_source_row(opening.source): opening for opening in problem.openings}
    kept = tuple(opening for opening in problem.openings if _source_row(opening.source) not in rows)
    if not rows <= set(of_row) or not kept:
        return None
    reasons: dict[tuple[str, int], list[str]] = defaultdict(list)
    for fault in faults:
        reasons[row_of(fault)].append(f"{fault.cell}: {fault.message}")
    parked = [_parked_opening(of_row[row], tuple(reasons[row]), problem.unit) for row in rows]
    route = tuple(sorted((*problem.parked, *parked), key=walking_order))
    findings = (*reading.findings, *with_parked(faults, rows))
    return replace(reading, findings=findings, problem=replace(problem, openings=kept, parked=route), openings=kept)


def _parked_opening(opening: Opening, reasons: tuple[str, ...], unit: Unit) -> Parked:
    sides = (", ".join(length_text(side, unit) for side in sides) for sides in (opening.widths, opening.heights))
    return Parked(
        label=opening.label,
        quantity=opening.quantity,
        read=" x ".join(sides),
        source=opening.source,
        reasons=reasons,
        **{name: getattr(opening, name) for name in _PLACES},
    )


def _source_row(source: str) -> tuple[str, int]:
    sheet, _, row = source.rpartition("!")
    return sheet, int(row) if row.isdecimal() else 0


def row_of(finding: Finding) -> tuple[str, int]:
    """Return the sheet and row a finding is about; row 0 if it is about no row.

    Examples
    --------
    >>> row_of(Finding(sheet="openings", cell="C17", verdict=Verdict.ERROR, message=""))
    ('openings', 17)
    """
    digits = finding.cell.lstrip("ABCDEFGHIJKLMNOPQRSTUVWXYZ")
    return finding.sheet, int(digits) if digits.isdecimal() else 0


def walking_order(parked: Parked) -> tuple[list[tuple[int, int, str]], ...]:
    """Return the key that sorts rows as one walks; numbers count by their size.

    Examples
    --------
    >>> [each.floor for each in sorted((Parked(label="x", floor=f) for f in ("10", "2", "G")), key=walking_order)]
    ['2', '10', 'G']
    """
    words = (parked.building, parked.floor, parked.unit, parked.room, parked.label)
    return tuple(_by_number(word) for word in words)


def _by_number(word: str) -> list[tuple[int, int, str]]:
    parts = re.findall(r"[0-9]+|[^0-9]+", word)
    return [(0, int(part), "") if part.isdecimal() else (1, 0, part.casefold()) for part in parts]
