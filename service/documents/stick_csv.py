"""Stick cuts as CSV for a saw with a driven stop: one line a cut, exact millimetres."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from pathlib import Path

from service.documents.cut_marks import rail_marks
from service.documents.plain_text import csv_plain
from service.documents.plan_index import PlanIndex
from solver.lengths import mm_text
from solver.plan import CutStick, Plan, StickGroup
from solver.problem import Problem

HEADINGS = (
    "profile",
    "colour",
    "stick",
    "stock",
    "stick_mm",
    "cut",
    "rail_mm",
    "starts_at_mm",
    "ends_at_mm",
    "kerf_mm",
    "piece",
    "code",
    "order",
    "offcut_mm",
    "offcut_kept",
)


def write_stick_cuts(problem: Problem, plan: Plan, path: Path) -> None:
    """Write every cut in saw order (RFC 4180, UTF-8 without byte order mark, for machines).

    Positions are measured from the stick's first end; what is before the first
    rail is trimmed off. The offcut stands on a stick's last line.
    """
    index = PlanIndex(problem, plan)
    with path.open("w", encoding="utf-8", newline="") as file:
        lines = csv.writer(file)
        lines.writerow(HEADINGS)
        for group in plan.stick_groups:
            for stick in group.sticks:
                lines.writerows(_lines(group, stick, index))


def _lines(group: StickGroup, stick: CutStick, index: PlanIndex) -> Iterator[tuple[str, ...]]:
    last = len(stick.rails)
    trim = index.start_trim(stick.stock)
    for number, mark in enumerate(rail_marks(stick, kerf=group.joint_kerf, start_trim=trim), start=1):
        opening = index.opening(mark.rail.opening)
        yield (
            csv_plain(group.profile),
            csv_plain(group.colour),
            str(stick.number),
            csv_plain(stick.stock),
            mm_text(stick.length),
            str(number),
            mm_text(mark.rail.length),
            mm_text(mark.start),
            mm_text(mark.end),
            mm_text(group.joint_kerf),
            csv_plain(index.rail_label(mark.rail)),
            index.rail_code(mark.rail),
            csv_plain(opening.order) if opening else "",
            mm_text(stick.offcut) if number == last else "",
            ("yes" if stick.kept else "no") if number == last else "",
        )
