"""Findings as a person or a program reads them on a terminal."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterable
from typing import Any

from service.sheets.findings import Finding, JobReading, Verdict
from solver.lengths import Ticks, mm_number


def finding_lines(findings: Iterable[Finding]) -> list[str]:
    """Return one line for each finding, and a last one that counts them."""
    lines, verdicts = [], Counter[Verdict]()
    for finding in findings:
        verdicts[finding.verdict] += 1
        where = f"{finding.address}: " if finding.address else ""
        proposal = f" Proposal: {finding.proposal}" if finding.proposal else ""
        lines.append(f"{finding.verdict.value.upper():8} {where}{finding.message}{proposal}")
    counts = [f"{number} {verdict.value}{'s' * (number != 1)}" for verdict, number in verdicts.items()]
    return [*lines, ", ".join(counts) if counts else "nothing to remark"]


def finding_json(finding: Finding) -> dict[str, str]:
    """Return a finding as plain JSON."""
    return {
        "sheet": finding.sheet,
        "cell": finding.cell,
        "verdict": finding.verdict.value,
        "message": finding.message,
        "proposal": finding.proposal,
    }


def reading_json(reading: JobReading) -> str:
    """Return findings and the readings as understood, lengths in exact millimetres."""
    openings = reading.openings or (reading.problem.openings if reading.problem else ())
    content: dict[str, Any] = {
        "findings": [finding_json(finding) for finding in reading.findings],
        "openings": [
            {
                "label": opening.label,
                "width_mm": _millimetres(opening.widths),
                "height_mm": _millimetres(opening.heights),
            }
            for opening in openings
        ],
    }
    return json.dumps(content, indent=2, ensure_ascii=False)


def _millimetres(lengths: Iterable[Ticks]) -> list[float]:
    """Return lengths as JSON numbers.

    A tick is .003125 mm, so a length below a kilometre has at most 12 digits,
    and a double shows up to 15 exactly as they were.
    """
    return [float(mm_number(length)) for length in lengths]
