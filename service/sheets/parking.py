"""Rows set aside to be measured again, so that the rest can be planned."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Collection, Iterable
from dataclasses import replace

from service.sheets.findings import Finding, Verdict
from service.sheets.opening_rows import OpeningRow
from solver.openings import Parked

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
