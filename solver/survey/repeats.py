"""Rows that may be one window twice."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Hashable

from solver.openings import Opening
from solver.survey.finding import SurveyFinding, SurveyKind


def repeat_findings(openings: tuple[Opening, ...]) -> dict[int, tuple[SurveyFinding, ...]]:
    """Return, by the place of an opening in the job, what it seems to repeat.

    Equal readings in one room are common and no repeat; a row is one if it repeats
    place, readings and wishes, and either several readings agree to the tick or the
    room holds nothing else to tell them apart. Labels that differ in nothing but
    case, blanks and marks are said too.
    """
    labels: dict[str, int] = {}
    rows: dict[Hashable, int] = {}
    found: dict[int, list[SurveyFinding]] = defaultdict(list)
    for number, opening in enumerate(openings):
        first = labels.setdefault(_plain(opening.label), number)
        if first != number:
            found[number].append(_finding(opening, openings[first], "label", _SAME_LABEL))
            continue
        key = _row(opening)
        if key is not None:
            first = rows.setdefault(key, number)
            if first != number:
                found[number].append(_finding(opening, openings[first], "repeat", _SAME_ROW))
    return {number: tuple(findings) for number, findings in found.items()}


_SAME_LABEL = "has a label that differs in case or marks alone"
_SAME_ROW = "is the same window in place, readings and wishes"


def _finding(opening: Opening, first: Opening, topic: str, how: str) -> SurveyFinding:
    where = f" ({first.source})" if first.source else ""
    return SurveyFinding(
        opening=opening.label,
        field="label",
        topic=topic,
        kind=SurveyKind.NOTICE,
        seen=f"{first.label}{where} {how}.",
        why="A window entered twice is bought, cut and paid for twice.",
        do="Take one of the two rows out, or tell the two windows apart.",
    )


def _plain(label: str) -> str:
    return "".join(filter(str.isalnum, label.casefold()))


def _row(opening: Opening) -> Hashable | None:
    """Return what makes a row itself, its label apart; None where its place is too vague to tell."""
    several = len(opening.widths) + len(opening.heights) > 3 or opening.diagonals is not None
    if not several or not opening.unit or not opening.room:
        return None
    return (
        opening.building,
        opening.floor,
        opening.unit,
        opening.room.casefold(),
        opening.order,
        opening.phase,
        opening.widths,
        opening.heights,
        opening.diagonals,
        opening.colour,
        opening.mesh,
        opening.quantity,
    )
