"""Openings to measure again, in the order one walks: by building, floor, unit and room."""

from __future__ import annotations

import re
from dataclasses import dataclass

from service.documents.frame_text import readings_text
from solver.openings import Opening, Parked
from solver.plan import Kind, Plan
from solver.problem import Problem


@dataclass(frozen=True, kw_only=True, slots=True)
class Visit:
    """An opening to measure again: where it is, what was read, and why it is doubted."""

    opening: str
    why: str
    building: str = ""
    floor: str = ""
    unit: str = ""
    room: str = ""
    read: str = ""


def visits(problem: Problem, plan: Plan) -> list[Visit]:
    """Return what to measure again in walking order: rows set aside, and openings that notices doubt.

    Each stands once, with every reason.
    """
    return sorted([*map(_parked, problem.parked), *_doubted(problem, plan)], key=walking_order)


def _parked(row: Parked) -> Visit:
    return Visit(
        opening=row.label,
        why="\n".join((*row.reasons, "not planned")),
        building=row.building,
        floor=row.floor,
        unit=row.unit,
        room=row.room,
        read=row.read,
    )


def _doubted(problem: Problem, plan: Plan) -> list[Visit]:
    reasons: dict[str, list[str]] = {}
    for notice in plan.notices:
        if notice.kind is Kind.REVIEW:
            for label in notice.openings:
                reasons.setdefault(label, []).append(notice.message)
    openings = {opening.label: opening for opening in problem.openings}
    return [_doubt(openings[label], "\n".join(why), problem) for label, why in reasons.items() if label in openings]


def _doubt(opening: Opening, why: str, problem: Problem) -> Visit:
    return Visit(
        opening=opening.label,
        why=why,
        building=opening.building,
        floor=opening.floor,
        unit=opening.unit,
        room=opening.room,
        read=readings_text(opening, problem.unit),
    )


def walking_order(visit: Visit) -> tuple[list[tuple[int, int, str]], ...]:
    """Return the key that sorts visits as one walks.

    Examples
    --------
    >>> rooms = [Visit(opening="x", why="", floor=floor) for floor in ("10", "2", "G")]
    >>> [visit.floor for visit in sorted(rooms, key=walking_order)]
    ['2', '10', 'G']
    """
    return tuple(_by_number(word) for word in (visit.building, visit.floor, visit.unit, visit.room, visit.opening))


def _by_number(word: str) -> list[tuple[int, int, str]]:
    parts = re.findall(r"[0-9]+|[^0-9]+", word)
    return [(0, int(part), "") if part.isdecimal() else (1, 0, part.casefold()) for part in parts]
