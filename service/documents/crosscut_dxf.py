"""Mesh crosscuts as drawings for a cutting table: one DXF file a roll, all of them in one archive."""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Iterator
from pathlib import Path
from typing import Protocol

from service.documents.cut_marks import blank_marks, crosscut_marks, strip_marks
from service.documents.plain_text import one_line
from service.documents.plan_index import PlanIndex
from solver.lengths import Ticks, mm_number
from solver.plan import CutRoll, Plan
from solver.problem import Problem

ROLL, CROSSCUT, RIP, TRIM, BLANK, NAME = "ROLL", "CROSSCUT", "RIP", "TRIM", "BLANK", "NAME"
"""The layers: outline of the roll, the three kinds of cut, outlines and names of the blanks."""
_NAME_HEIGHT_MM = 12.0
_ALWAYS_THE_SAME_TIME = (2000, 1, 1, 0, 0, 0)

Point = tuple[float, float]


class Drawing(Protocol):
    """What of the DXF writer is used here."""

    def add_line(self, start: Point, end: Point, layer: str) -> None:
        """Draw a line."""

    def add_polyline_2d(self, points: list[Point], *, closed: bool, layer: str) -> None:
        """Draw a polygon."""

    def add_text(self, text: str, insert: Point, height: float, *, align: str, layer: str) -> None:
        """Write a text."""


def write_crosscut_drawings(problem: Problem, plan: Plan, path: Path) -> None:
    """Write a ZIP archive with one drawing for each roll.

    Millimetres; x runs across the roll from the selvage edge, y along it from
    its free end. Layers ``CROSSCUT``, ``RIP`` and ``TRIM`` hold the cuts, ``BLANK``
    the outlines of the blanks, ``NAME`` their names.

    References
    ----------
    DXF of AutoCAD release 12, written by the library ezdxf. That version has no
    field for the unit, so the file names end in ``-mm``.
    """
    index = PlanIndex(problem, plan)
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        for number, group in enumerate(plan.roll_groups, start=1):
            for roll in group.rolls:
                entry = zipfile.ZipInfo(_file_name(number, group.mesh, roll), _ALWAYS_THE_SAME_TIME)
                entry.compress_type = zipfile.ZIP_DEFLATED
                archive.writestr(entry, roll_drawing(roll, index))


def roll_drawing(roll: CutRoll, index: PlanIndex) -> bytes:
    """Return the drawing of one roll; a character that DXF release 12 cannot hold is written as its code."""
    from ezdxf.addons import r12writer
    from ezdxf.lldxf.encoding import encode

    text = io.StringIO()
    with r12writer(text) as drawing:
        _draw(drawing, roll, index)
    encoded: bytes = encode(text.getvalue(), "cp1252")
    return encoded


def _draw(drawing: Drawing, roll: CutRoll, index: PlanIndex) -> None:
    rules = index.problem.rules
    width = _mm(roll.width)
    end = _mm(roll.length if roll.length is not None else roll.used)
    _box(drawing, (0.0, 0.0), (width, end), ROLL)
    for crosscut, start, stop in crosscut_marks(roll, extra=rules.crosscut_extra):
        drawing.add_line((0.0, _mm(stop)), (width, _mm(stop)), layer=CROSSCUT)
        for cut in _rips(rules.selvage_trim, [at for _, _, at in strip_marks(crosscut, selvage=rules.selvage_trim)]):
            drawing.add_line((_mm(cut), _mm(start)), (_mm(cut), _mm(stop)), layer=RIP)
        for strip, left, _ in strip_marks(crosscut, selvage=rules.selvage_trim):
            for blank, low, high in blank_marks(strip):
                x, right = _mm(left), _mm(Ticks(left + blank.across))
                y, top = _mm(Ticks(start + low)), _mm(Ticks(start + high))
                _box(drawing, (x, y), (right, top), BLANK)
                if start + high < stop:
                    drawing.add_line((x, top), (_mm(Ticks(left + strip.width)), top), layer=TRIM)
                middle = ((x + right) / 2, (y + top) / 2)
                name = one_line(index.blank_label(blank))
                drawing.add_text(name, middle, _NAME_HEIGHT_MM, align="MIDDLE_CENTER", layer=NAME)


def _rips(selvage: Ticks, ends: list[Ticks]) -> Iterator[Ticks]:
    if selvage:
        yield selvage
    yield from ends


def _box(drawing: Drawing, low: Point, high: Point, layer: str) -> None:
    corners = [low, (high[0], low[1]), high, (low[0], high[1])]
    drawing.add_polyline_2d(corners, closed=True, layer=layer)


def _mm(length: Ticks) -> float:
    return float(mm_number(length))


def _file_name(group: int, mesh: str, roll: CutRoll) -> str:
    """Return a file name that every system takes; the number keeps two meshes of like names apart."""
    word = re.sub(r"[^a-z0-9]+", "-", mesh.lower()).strip("-")[:40] or "mesh"
    return f"{group}-{word}-roll-{roll.number}-mm.dxf"
